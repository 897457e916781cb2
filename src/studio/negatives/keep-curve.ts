// Keeps a tone curve as it is today: a test's own, blended with another's, or moved by hand.
import { blendedLevels, movedLevels } from "#shared/correction/edited-curve.ts";
import { sentAt } from "#shared/correction/refine-correction.ts";
import { keepCurveSchema, keptCurveInputSchema, type KeepCurve, type KeptCurve } from "#shared/schema/kept-curve.ts";
import type { CorrectionTarget } from "#shared/schema/correction.ts";
import { correctionOfTest, lineOfSheets, type TestCorrection } from "./correct.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";

export interface DrawnCurve {
  readonly made: TestCorrection;
  /** Level to send for each wanted level. */
  readonly levels: readonly number[];
  /** L* that the print should have at each wanted level. */
  readonly lightness: readonly number[];
  /** Tests whose tones it comes from, newest first. */
  readonly printIds: readonly string[];
}

/** A curve as it would be kept. @throws InputError "not-found", or "no-correction" */
export function drawCurve(
  { store }: Pick<Tools, "store">,
  {
    testId,
    target,
    blend,
    moves,
  }: Pick<KeepCurve, "testId" | "blend" | "moves"> & { readonly target: CorrectionTarget },
): DrawnCurve {
  const made = correctionOfTest({ store }, { testId, target });
  const other = blend ? correctionOfTest({ store }, { testId: blend.testId, target }) : null;
  const blended =
    other === null
      ? made.correction.levels
      : blendedLevels(made.correction.levels, other.correction.levels, blend?.share ?? 0);
  const levels = movedLevels(blended, moves);
  const prints = [made, other].flatMap((each) => (each === null ? [] : lineOfSheets(store, each.test)));
  return {
    made,
    levels,
    lightness: levels.map((level) => sentAt(made.correction.measured.lightness, level)),
    printIds: [...new Set(prints.map(({ id }) => id))],
  };
}

/** @throws ZodError, InputError "not-found" or "no-correction" */
export function keepCurve({ store }: Pick<Tools, "store">, input: unknown): KeptCurve {
  const asked = keepCurveSchema.parse(input);
  const { made, levels, lightness, printIds } = drawCurve({ store }, asked);
  const name = asked.name === "" ? made.calibration.testName || "Tone curve" : asked.name;
  return forWriting(store).keptCurves.create(
    keptCurveInputSchema.parse({ ...asked, name, levels, lightness, printIds }),
  );
}

/** Forgets a kept curve; negatives made through it keep their own copy. @throws InputError "not-found" */
export function forgetCurve({ store }: Pick<Tools, "store">, id: string): void {
  forWriting(store).keptCurves.remove(id);
}
