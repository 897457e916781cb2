// Reads a rendered scene with the program's own reader and compares the answer with the truth. The bench prints these
// comparisons; the gate tests hold a few of them to a limit.
import { TroubleError } from "#shared/errors.ts";
import { assessTest } from "#shared/advice/assess-test.ts";
import type { Verdict } from "#shared/schema/curve.ts";
import type { Corners, ReadingRequest } from "#shared/schema/reading.ts";
import type { MeasuredReading } from "#shared/reading/reading-facts.ts";
import { testRequestSchema } from "#shared/schema/test.ts";
import { measureReading } from "#src/imaging/measure-reading.ts";
import { renderScene } from "../../../samples/render/render-scene.ts";
import type { Scene, Truth } from "../../../samples/render/scene.ts";
import { pictureFile } from "../../../samples/render/write-picture.ts";

/** Steps count towards accuracy up to this red density. */
export const mostDensityJudged = 1.5;
/** A step hidden by more than this share is judged by whether it was left out, not by its density. */
const mostCoveredShare = 0.04;
/** Corners further from the truth than this share of a step's length put steps in the wrong place. */
export const mislocatedSteps = 0.5;

export interface StepOutcome {
  readonly index: number;
  readonly error: number;
  readonly evenError: number;
  readonly visualError: number;
  readonly sigma: number;
  readonly density: number;
}

export interface SceneOutcome {
  readonly name: string;
  readonly kind: Scene["kind"];
  readonly truth: Truth;
  /** Steps that were read, not covered, and not denser than is judged. */
  readonly steps: readonly StepOutcome[];
  readonly coveredSteps: number;
  readonly coveredAndFlagged: number;
  readonly leftOutByMistake: number;
  readonly warnings: readonly string[];
  readonly confidence: number;
  /** Largest distance of a corner from the truth, in lengths of one step. */
  readonly cornerErrorSteps: number;
  readonly verdict: Verdict | null;
  /** log2 of advised time over true time; null without advice. */
  readonly timeErrorStops: number | null;
  readonly rangeHolds: boolean | null;
  readonly rangeStops: number | null;
  readonly readSeconds: number;
}

export interface SceneRefusal {
  readonly name: string;
  readonly kind: Scene["kind"];
  readonly truth: Truth;
  readonly refused: string;
  readonly detail: string;
}

export type Outcome = SceneOutcome | SceneRefusal;

export const isRefusal = (outcome: Outcome): outcome is SceneRefusal => "refused" in outcome;

export interface HowToRead {
  /** Corners from the truth, moved by up to so many pixels; false lets the reader find the strip. */
  readonly corners: boolean;
  readonly request?: (request: ReadingRequest, truth: Truth) => ReadingRequest;
}

/** Renders, reads and compares one scene. Input errors become refusals; anything else is thrown. */
export async function outcomeOf(scene: Scene, how: HowToRead): Promise<Outcome> {
  const rendered = renderScene(scene);
  const picture = await pictureFile(rendered);
  return compare(scene, rendered.truth, picture, how);
}

export async function compare(scene: Scene, truth: Truth, picture: Uint8Array, how: HowToRead): Promise<Outcome> {
  const named = { name: scene.name, kind: scene.kind, truth };
  const plain: ReadingRequest = { ...truth.request, ...(how.corners ? { corners: truth.corners } : {}) };
  const request = how.request === undefined ? plain : how.request(plain, truth);
  const started = performance.now();
  let reading: MeasuredReading;
  try {
    reading = await measureReading({ picture, request });
  } catch (error) {
    if (error instanceof TroubleError) return { ...named, refused: error.code, detail: error.message };
    throw error;
  }
  return { ...named, ...judge(truth, reading), readSeconds: (performance.now() - started) / 1000 };
}

function judge(truth: Truth, reading: MeasuredReading): Omit<SceneOutcome, "name" | "kind" | "truth" | "readSeconds"> {
  const steps: StepOutcome[] = [];
  let [coveredSteps, coveredAndFlagged, leftOutByMistake] = [0, 0, 0];
  for (const known of truth.steps) {
    const step = reading.steps[known.index - 1];
    // Read with another count of steps, the places matter and the densities do not.
    if (step === undefined) continue;
    const isFlagged = step.flags.includes("left-out") || step.flags.includes("uneven");
    if (known.coveredShare > mostCoveredShare) {
      coveredSteps++;
      if (isFlagged) coveredAndFlagged++;
      continue;
    }
    if (step.flags.includes("left-out")) {
      leftOutByMistake++;
      continue;
    }
    if (known.redPrinted === null || known.red === null || known.redPrinted > mostDensityJudged) continue;
    steps.push({
      index: known.index,
      error: step.red - known.redPrinted,
      evenError: step.red - known.red,
      visualError: step.visual - known.visualPrinted,
      sigma: step.sigma,
      density: known.redPrinted,
    });
  }
  const { exposure } = assessTest({ request: testRequestFor(truth), reading, filmDensity: truth.filmDensity });
  const log2Of = (seconds: number | null): number | null =>
    seconds === null ? null : Math.log2(seconds / truth.shoulderSeconds);
  const [lower, upper] = [log2Of(exposure.lowerSeconds), log2Of(exposure.upperSeconds)];
  return {
    steps,
    coveredSteps,
    coveredAndFlagged,
    leftOutByMistake,
    warnings: reading.warnings.map((warning) => warning.code),
    confidence: reading.location.confidence,
    cornerErrorSteps: cornerErrorSteps(truth, reading.location.corners),
    verdict: exposure.verdict,
    timeErrorStops: log2Of(exposure.seconds),
    rangeHolds: lower === null || upper === null ? null : lower <= 0 && upper >= 0,
    rangeStops: lower === null || upper === null ? null : upper - lower,
  };
}

/** The test as a printmaker would record it. */
export function testRequestFor(truth: Truth): ReturnType<typeof testRequestSchema.parse> {
  return testRequestSchema.parse({
    ...truth.request,
    lampId: "lamp",
    supportId: "support",
    coatingId: "coating",
    filmId: "film",
    exposureSeconds: truth.exposureSeconds,
  });
}

/** Largest distance of a corner from its true place along the strip and, less strictly, across it; in step lengths. */
function cornerErrorSteps(truth: Truth, corners: Corners): number {
  const [a, b, , d] = truth.corners;
  const stepPx = Math.hypot(b[0] - a[0], b[1] - a[1]) / truth.steps.length;
  const heightPx = Math.hypot(d[0] - a[0], d[1] - a[1]);
  const along = [
    (b[0] - a[0]) / Math.hypot(b[0] - a[0], b[1] - a[1]),
    (b[1] - a[1]) / Math.hypot(b[0] - a[0], b[1] - a[1]),
  ] as const;
  return Math.max(
    ...corners.map((corner, index) => {
      const known = truth.corners[index]!;
      const [dx, dy] = [corner[0] - known[0], corner[1] - known[1]];
      const alongSteps = Math.abs(dx * along[0] + dy * along[1]) / stepPx;
      // A fifth of the strip's height is left out at each edge, so a miss of that size costs what half a step does.
      const acrossSteps = (Math.abs(dx * along[1] - dy * along[0]) / heightPx / 0.2) * mislocatedSteps;
      return Math.max(alongSteps, acrossSteps);
    }),
  );
}
