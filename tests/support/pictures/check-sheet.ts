// A saved check sheet: a second sheet printed through the correction of a saved test of grey levels.
import { sentAt } from "#shared/correction/refine-correction.ts";
import type { Reading } from "#shared/schema/reading.ts";
import { correctionMark, keptCurveMark, type SheetTarget } from "#shared/tablet/wedge-sheet-code.ts";
import type { CurveMove } from "#shared/schema/kept-curve.ts";
import { correctionOfTest } from "#src/studio/negatives/correct.ts";
import { keepCurve } from "#src/studio/negatives/keep-curve.ts";
import type { Store } from "#src/store/store.ts";
import { levelsReading, saveLevelsTest } from "../studios/levels-test.ts";
import { printedDensity, printedLightness, usualPrint } from "./printed-strip.ts";
import { sampleTestRecord, savePicture } from "../studios/sample-records.ts";

/**
 * Saves both tests; gives the id of the check sheet's.
 * @param moves where given, the sheet is printed through a kept curve that was moved so by hand
 */
export async function saveCheckSheet(
  store: Store,
  {
    printedFor,
    marked = printedFor,
    moves,
  }: { printedFor: SheetTarget; marked?: SheetTarget; moves?: readonly CurveMove[] },
): Promise<string> {
  const { id, materials } = await saveLevelsTest(store);
  const kept = moves === undefined ? null : keepCurve({ store }, { testId: id, target: printedFor, moves });
  const sent = kept?.levels ?? correctionOfTest({ store }, { testId: id, target: printedFor }).correction.levels;
  const plain = levelsReading(usualPrint, 32);
  const steps = plain.steps.map((step) => {
    const density = printedDensity(usualPrint, sentAt(sent, step.input));
    return { ...step, visual: density, lightness: printedLightness(density) };
  });
  const sheet: Reading["sheet"] = {
    layout: { version: 1, levels: 32, replicates: 1, widthMm: 160 },
    correctionMark: kept === null ? correctionMark(id, marked) : keptCurveMark(kept.id),
    mirrored: false,
    inverted: false,
    registration: "code-and-marks",
    unevenness: { columns: 1, rows: 1, percent: [0], worstPercent: 0 },
    patches: [],
  };
  const record = sampleTestRecord(materials, await savePicture(store), { tablet: { kind: "sheet" } });
  return store.transaction(() => store.tests.save({ ...record, reading: { ...plain, steps, sheet } })).id;
}
