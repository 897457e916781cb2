// A saved check sheet: a second sheet printed through the correction of a saved test of grey levels.
import { sentAt } from "#shared/correction/refine-correction.ts";
import type { Reading } from "#shared/schema/reading.ts";
import { correctionMark, type SheetTarget } from "#shared/tablet/wedge-sheet-code.ts";
import { correctionOfTest } from "#src/studio/negatives/correct.ts";
import type { Store } from "#src/store/store.ts";
import { levelsReading, saveLevelsTest } from "../studios/levels-test.ts";
import { printedDensity, printedLightness, usualPrint } from "./printed-strip.ts";
import { sampleTestRecord, savePicture } from "../studios/sample-records.ts";

/** Saves both tests; gives the id of the check sheet's. */
export async function saveCheckSheet(
  store: Store,
  { printedFor, marked = printedFor }: { printedFor: SheetTarget; marked?: SheetTarget },
): Promise<string> {
  const { id, materials } = await saveLevelsTest(store);
  const sent = correctionOfTest({ store }, { testId: id, target: printedFor }).correction.levels;
  const plain = levelsReading(usualPrint, 32);
  const steps = plain.steps.map((step) => {
    const density = printedDensity(usualPrint, sentAt(sent, step.input));
    return { ...step, visual: density, lightness: printedLightness(density) };
  });
  const sheet: Reading["sheet"] = {
    layout: { version: 1, levels: 32, replicates: 1, widthMm: 160 },
    correctionMark: correctionMark(id, marked),
    mirrored: false,
    inverted: false,
    registration: "code-and-marks",
    unevenness: { columns: 1, rows: 1, percent: [0], worstPercent: 0 },
    patches: [],
  };
  const record = sampleTestRecord(materials, await savePicture(store), { tablet: { kind: "sheet" } });
  return store.transaction(() => store.tests.save({ ...record, reading: { ...plain, steps, sheet } })).id;
}
