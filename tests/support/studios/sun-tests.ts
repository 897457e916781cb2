// A made-up test printed in the sun, for web and store tests.
import type { SavedTest, TestRequest } from "#shared/schema/test.ts";
import type { Store } from "#src/store/store.ts";
import { sampleTestRecord, saveSampleMaterials, savePicture } from "./sample-records.ts";

/** Noon in Lisbon on a June day, ten minutes flat on the ground. */
export const lisbonNoon = {
  latitude: 38.72,
  longitude: -9.14,
  startedAt: "2026-06-10T13:30:00+01:00",
  tiltDegrees: 0,
  facingDegrees: 0,
};

/** Saves a test exposed 480 s in the sun whose advice is 240 s (210 to 280), or as many seconds as told. */
export async function saveSunTest(store: Store, changes: Partial<TestRequest> = {}, seconds = 240): Promise<SavedTest> {
  const materials = saveSampleMaterials(store);
  const record = sampleTestRecord(materials, await savePicture(store));
  return store.transaction(() =>
    store.tests.save({
      ...record,
      exposure: { ...record.exposure, seconds },
      request: { ...record.request, name: "First sun test", sun: lisbonNoon, ...changes },
    }),
  );
}
