// Saved tests of one made-up coating whose truth is known, for acts that read what many tests tell.
import { fitCharacteristicCurve } from "#shared/curve/fit-characteristic-curve.ts";
import type { Curve } from "#shared/schema/curve.ts";
import type { Store } from "#src/store/store.ts";
import { sampleTestRecord, type SampleMaterials } from "./sample-records.ts";

/** A made-up coating: D = 1.6 / (1 + exp(-4 (log H - 2.2))). */
export const blue = (logH: number): number => 1.6 / (1 + Math.exp(-4 * (logH - 2.2)));
/** Its curve under a light that needs 10^shift times the seconds. */
export const curveOfBlue = (shift = 0): Curve => {
  const curve = fitCharacteristicCurve({
    channel: "red",
    steps: Array.from({ length: 21 }, (_, index) => ({
      index: index + 1,
      logH: 3.3 + shift - 0.15 * index,
      sigmaLogH: 0,
      density: blue(3.3 - 0.15 * index),
      sigma: 0.005,
      isFlagged: false,
    })),
  });
  if (curve === null) throw new Error("no curve");
  return curve;
};
/** Saves a tablet test that gave a time. */
export function saveTablet(
  store: Store,
  materials: SampleMaterials,
  picture: string,
  { shift = 0, distanceMm, madeAt }: { shift?: number; distanceMm?: number; madeAt?: string } = {},
): string {
  const record = sampleTestRecord(materials, picture, {
    ...(distanceMm === undefined ? {} : { lampDistanceMm: distanceMm }),
    ...(madeAt === undefined ? {} : { madeAt }),
  });
  return store.transaction(() =>
    store.tests.save({ ...record, curve: curveOfBlue(shift), exposure: { ...record.exposure, verdict: "ok" } }),
  ).id;
}
