// A saved test of a strip of grey levels, as its reading would have come from a picture.
import type { Reading } from "#shared/schema/reading.ts";
import type { TestRequest } from "#shared/schema/test.ts";
import type { Store } from "#src/store/store.ts";
import { printedTones, usualPrint, type PrintModel } from "../pictures/printed-strip.ts";
import {
  sampleReading,
  sampleTestRecord,
  savePicture,
  saveSampleMaterials,
  type SampleMaterials,
} from "./sample-records.ts";

/** A blue layer: red light is absorbed most; shares of the visual density are made up. */
const redShare = 1.6;

export function levelsReading(
  model: PrintModel,
  count: number,
  { upsideDown = false }: { upsideDown?: boolean } = {},
): Reading {
  return {
    ...sampleReading(),
    steps: printedTones(model, { count }).map((tone, index) => ({
      index: index + 1,
      input: upsideDown ? 255 - tone.level : tone.level,
      red: tone.density * redShare,
      visual: tone.density,
      lightness: tone.lightness,
      sigma: 0.006,
      sigmaVisual: tone.sigma,
      centre: [10 + index * 10, 20],
      box: [
        [index * 10, 10],
        [index * 10 + 8, 10],
        [index * 10 + 8, 30],
        [index * 10, 30],
      ],
      flags: [],
    })),
  };
}

/** Saves a test of evenly spaced levels; gives its id and its materials. */
export async function saveLevelsTest(
  store: Store,
  {
    model = usualPrint,
    count = 32,
    upsideDown = false,
    changes = {},
  }: { model?: PrintModel; count?: number; upsideDown?: boolean; changes?: Partial<TestRequest> } = {},
): Promise<{ id: string; materials: SampleMaterials }> {
  const materials = saveSampleMaterials(store);
  const pictureId = await savePicture(store);
  const levels = Array.from({ length: count }, (_, index) => (255 * index) / (count - 1));
  const record = {
    ...sampleTestRecord(materials, pictureId, {
      tablet: { kind: "levels", levels },
      name: "Strip on cotton, box 2",
      ...changes,
    }),
    reading: levelsReading(model, count, { upsideDown }),
  };
  const saved = store.transaction(() => store.tests.save(record));
  return { id: saved.id, materials };
}
