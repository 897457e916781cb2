// What the printed report of a sheet or strip tells of its tone curve.
import { InputError } from "#shared/errors.ts";
import type { PlotSpec } from "#shared/format/plot.ts";
import type { SavedTest } from "#shared/schema/test.ts";
import type { StoreReader } from "#src/store/store.ts";
import { correctionOfTest } from "#src/studio/negatives/correct.ts";
import { curvePlot } from "./plots.ts";

interface CurveOfReport {
  readonly plot: PlotSpec;
  /** The points to type, in one line. */
  readonly points: string;
}

/** Null for a test of exposure, and where the tones give no curve. */
export function curveOfReport(store: StoreReader, { id, request }: SavedTest): CurveOfReport | null {
  if (!["levels", "sheet"].includes(request.tablet.kind)) return null;
  try {
    const { correction } = correctionOfTest({ store }, { testId: id, target: "lightness" });
    const points = correction.points.map(({ input, output }) => `${input} to ${output}`).join(", ");
    return { plot: curvePlot(correction), points };
  } catch (error) {
    if (error instanceof InputError) return null;
    throw error;
  }
}
