// A witness strip: bare coated paper beside the frame, uncovered in steps, turns a cloudy hour into a measured dose.
// Each
// step's depth tells the dose since it was uncovered; between two of them the sky let through an unknown share of the
// clear sky's light. All shares are found together, so that a step that is too dark or too pale to tell costs little.
import { rangeSigmas } from "#shared/statistics/normal-distribution.ts";
import { choleskyFactor, choleskySolve, forwardSubstitute } from "#shared/statistics/cholesky.ts";

/** A step of the strip [ms of UTC], with the dose that its depth tells; null where the depth tells none. */
export interface WitnessStep {
  readonly fromMs: number;
  readonly untilMs: number;
  /** Dose by the coating's own curve [action-weighted J/m²]. */
  readonly dose: number | null;
  /** Standard uncertainty of ln dose, of this step alone. */
  readonly sigmaLn: number;
}

/** The dose of the frame, and how much of the clear sky's it was. */
export interface WitnessedDose {
  readonly likely: number;
  /** 95 % range. */
  readonly lowest: number;
  readonly highest: number;
  /** Share of what a clear sky would have given. */
  readonly clearShare: number;
  /** How many steps told a dose. */
  readonly toldSteps: number;
}

/**
 * What the sky lets through of the clear sky's light before the strip is read: mean and standard deviation. Source:
 * HelsinkiUva.
 */
const usualShare = { mean: 0.7, deviation: 0.3 } as const;

/** A shared error smaller than this counts as none, so that the equations stay well conditioned. */
const leastCommonSigmaLn = 1e-4;

/** Borders of time, rising, each once. */
function borders(spans: readonly { fromMs: number; untilMs: number }[]): number[] {
  return [...new Set(spans.flatMap(({ fromMs, untilMs }) => [fromMs, untilMs]))].sort((a, b) => a - b);
}

/**
 * Dose of a frame under any sky, from the strip that lay beside it.
 * @param request.steps of the strip; they may be uncovered or covered one after the other
 * @param request.frame when the frame was outside [ms of UTC]
 * @param request.clearDose dose of a clear sky between two instants [action-weighted J/m²]
 * @param request.commonSigmaLn standard uncertainty of ln dose that all steps share: the strip's sheet is not the one
 *   that its curve comes from; 0 when absent
 * @returns null when no step tells a dose, or the frame saw no sun at all
 * Source: HelsinkiUva for what clouds let through; the linear estimate with known deviations is from memory (a
 * textbook's).
 */
export function witnessedDose(request: {
  readonly steps: readonly WitnessStep[];
  readonly frame: { readonly fromMs: number; readonly untilMs: number };
  readonly clearDose: (fromMs: number, untilMs: number) => number;
  readonly commonSigmaLn?: number;
}): WitnessedDose | null {
  const { steps, frame, clearDose, commonSigmaLn = 0 } = request;
  const told = steps.filter(
    (step): step is WitnessStep & { dose: number } => step.dose !== null && step.dose > 0 && step.untilMs > step.fromMs,
  );
  if (told.length === 0 || !(frame.untilMs > frame.fromMs)) return null;
  const at = borders([...told, frame]);
  const pieces = at.slice(0, -1).map((fromMs, index) => ({ fromMs, untilMs: at[index + 1] ?? fromMs }));
  const clear = pieces.map(({ fromMs, untilMs }) => clearDose(fromMs, untilMs));
  const within = (span: { fromMs: number; untilMs: number }): number[] =>
    pieces.map((piece, index) =>
      piece.fromMs >= span.fromMs && piece.untilMs <= span.untilMs ? (clear[index] ?? 0) : 0,
    );
  // After the shares of the pieces, the error that all steps share is one more unknown.
  const common = pieces.length;
  const n = common + 1;
  const precision = new Float64Array(n * n);
  const right = new Float64Array(n);
  const ownPrecision = 1 / usualShare.deviation ** 2;
  for (let i = 0; i < common; i += 1) {
    precision[i * n + i] = ownPrecision;
    right[i] = ownPrecision * usualShare.mean;
  }
  precision[n * n - 1] = 1 / Math.max(commonSigmaLn, leastCommonSigmaLn) ** 2;
  for (const step of told) {
    const row = [...within(step), step.dose];
    const weight = 1 / (step.dose * step.sigmaLn) ** 2;
    for (let i = 0; i < n; i += 1) {
      right[i] = (right[i] ?? 0) + weight * (row[i] ?? 0) * step.dose;
      for (let j = 0; j < n; j += 1)
        precision[i * n + j] = (precision[i * n + j] ?? 0) + weight * (row[i] ?? 0) * (row[j] ?? 0);
    }
  }
  const factor = choleskyFactor(precision, n);
  const shares = choleskySolve(factor, right);
  const wanted = [...within(frame), 0];
  const whole = wanted.reduce((sum, dose) => sum + dose, 0);
  const likely = wanted.reduce((sum, dose, index) => sum + dose * (shares[index] ?? 0), 0);
  if (!(whole > 0) || !(likely > 0)) return null;
  const sigma = Math.hypot(...forwardSubstitute(factor, wanted));
  const factorOfRange = Math.exp((rangeSigmas * sigma) / likely);
  return {
    likely,
    lowest: likely / factorOfRange,
    highest: likely * factorOfRange,
    clearShare: likely / whole,
    toldSteps: told.length,
  };
}
