// A reading made of an instrument's samples: densities above bare paper, on the instrument's own scale.
import { noCamera } from "#shared/reading/camera/camera-term.ts";
import { lightnessFromLuminance } from "#shared/density/lightness.ts";
import type { MeasuredReading, ReadingWarning } from "#shared/reading/reading-facts.ts";
import type { InstrumentRequest, InstrumentTerm } from "#shared/schema/measured/instrument.ts";
import type { ReadingStep, Tablet } from "#shared/schema/reading.ts";
import { stepInputs } from "#shared/tablet/step-inputs.ts";
import { drawnStripPlace } from "./drawn-strip.ts";
import { instrumentTrouble } from "./instrument-facts.ts";
import { instrumentSamples, type InstrumentSample, type InstrumentSamples } from "./instrument-samples.ts";

/** Densities beyond these are slips of the keys. */
const possible = { least: -0.5, most: 5 };
/** A step may be paler than bare paper by this much before it counts as a slip. */
const mostReversal = 0.1;

type Zero = { readonly samples: readonly InstrumentSample[]; readonly paper: InstrumentSample | null };

/** Ends that differ by less than this share of the whole depth are both pale: one of them is bare paper. */
const bothPaleShare = 0.25;

/**
 * Which end is bare paper. Beside the darkest step it makes the list pale at both ends, and stands out by its leap;
 * beside the palest step it is the paler end.
 */
function paperEnd(depths: readonly number[]): number {
  const [first, second] = [depths[0]!, depths[1]!];
  const [beforeLast, last] = [depths.at(-2)!, depths.at(-1)!];
  const whole = Math.max(...depths) - Math.min(...depths);
  const isFirst =
    Math.abs(first - last) < bothPaleShare * whole
      ? Math.abs(second - first) > Math.abs(beforeLast - last)
      : first <= last;
  return isFirst ? 0 : depths.length - 1;
}

/** The steps' samples, and that of bare paper when one more was measured: by its name, or by its end. */
function stepsAndPaper(samples: readonly InstrumentSample[], steps: number): Zero {
  if (samples.length === steps) return { samples, paper: null };
  if (samples.length !== steps + 1)
    throw instrumentTrouble({ code: "instrument-count", samples: samples.length, steps });
  const named = samples.findIndex(({ name }) => /paper|white|base|substrate/i.test(name));
  const depth = ({ red, visual }: InstrumentSample): number => red ?? visual ?? 0;
  const at = named === -1 ? paperEnd(samples.map(depth)) : named;
  return { samples: samples.filter((_, i) => i !== at), paper: samples[at]! };
}

/**
 * Steps of a print as an instrument measured them.
 * @param request its text and what is said of it; @param tablet what lay on the print
 * @returns a reading whose place is that of the drawn strip, with the term that names the scale; densities count from
 *   the sample of bare paper, or as they are when the instrument was set to zero on it
 * @throws TroubleError "bad-request"
 * Source: density-definition, cgats-17
 */
export function instrumentReading(request: InstrumentRequest, tablet: Tablet): MeasuredReading {
  if (tablet.kind === "sheet") throw instrumentTrouble({ code: "instrument-of-sheet" });
  const inputs = stepInputs(tablet);
  const measured = instrumentSamples(request);
  const { samples, paper } = stepsAndPaper(measured.samples, inputs.length);
  const place = drawnStripPlace(inputs.length);
  const zero = zeroOf(measured, samples, paper);
  const steps = samples.map((sample, i) => stepOf(sample, { request, zero, paper, input: inputs[i]!, index: i + 1 }));
  const box = (index: number) => place.boxOf(index - 1);
  const term: InstrumentTerm = {
    quantity: measured.quantity,
    redScale: redScaleOf(measured),
    visualMeasured: samples.every(({ visual }) => visual !== null),
    scaleName: request.scaleName ?? measured.scaleName,
    sigmaDensity: request.sigmaDensity,
    camera: null,
  };
  return {
    image: { width: place.width, height: place.height, bitsPerChannel: 8, profile: { code: "srgb", name: "" } },
    location: { method: "given", corners: place.corners, confidence: 1 },
    steps: steps.map((step) => ({
      ...step,
      box: box(step.index),
      centre: [
        (box(step.index)[0][0] + box(step.index)[2][0]) / 2,
        (box(step.index)[0][1] + box(step.index)[2][1]) / 2,
      ],
    })),
    camera: noCamera,
    instrument: term,
    warnings: warningsOf(measured, { term, paper, steps, isDarkFirst: isDarkFirst(tablet.kind, inputs) }),
  };
}

/** Whether step 1 should be the darkest; of a strip of levels nothing is expected, since its film may be either way. */
const isDarkFirst = (kind: Tablet["kind"], inputs: readonly number[]): boolean =>
  kind === "transmission" || (kind === "timed" && inputs[0]! > inputs.at(-1)!);

const redScaleOf = ({ quantity }: InstrumentSamples): InstrumentTerm["redScale"] => {
  if (quantity === "visual-density") return "none";
  return quantity === "red-density" ? "red-filter" : "linear-srgb";
};

/** Where densities count from: bare paper; the palest step of colours; nothing more for densities set to zero on it. */
function zeroOf(
  { quantity }: InstrumentSamples,
  samples: readonly InstrumentSample[],
  paper: InstrumentSample | null,
): { readonly red: number; readonly visual: number } {
  if (paper !== null) return { red: paper.red ?? 0, visual: paper.visual ?? 0 };
  if (quantity === "red-density" || quantity === "visual-density") return { red: 0, visual: 0 };
  return {
    red: Math.min(...samples.map(({ red }) => red ?? 0)),
    visual: Math.min(...samples.map(({ visual }) => visual ?? 0)),
  };
}

type BareStep = Omit<ReadingStep, "centre" | "box">;

function stepOf(
  sample: InstrumentSample,
  at: {
    readonly request: InstrumentRequest;
    readonly zero: { readonly red: number; readonly visual: number };
    readonly paper: InstrumentSample | null;
    readonly input: number;
    readonly index: number;
  },
): BareStep {
  const { zero, request, paper, input, index } = at;
  const red = sample.red === null ? null : sample.red - zero.red;
  const visual = sample.visual === null ? null : sample.visual - zero.visual;
  const known = [red, visual].filter((density) => density !== null);
  if (known.some((density) => !(density >= Math.max(possible.least, -mostReversal) && density <= possible.most)))
    throw instrumentTrouble({ code: "instrument-impossible", sample: index });
  // Bare paper was measured as surely as each step, and is common to all of them.
  const sigma = request.sigmaDensity * (paper === null ? 1 : Math.SQRT2);
  const shownVisual = visual ?? red ?? 0;
  return {
    index,
    input,
    red: red ?? shownVisual,
    visual: shownVisual,
    lightness: Math.min(100, lightnessFromLuminance(10 ** -shownVisual)),
    sigma,
    sigmaVisual: sigma,
    flags: sample.isOutOfGamut ? ["out-of-gamut"] : [],
  };
}

function warningsOf(
  measured: InstrumentSamples,
  found: {
    readonly term: InstrumentTerm;
    readonly paper: InstrumentSample | null;
    readonly steps: readonly BareStep[];
    readonly isDarkFirst: boolean;
  },
): ReadingWarning[] {
  const { term, paper, steps } = found;
  const outside = steps.filter(({ flags }) => flags.includes("out-of-gamut")).map(({ index }) => index);
  const fall = steps[0]!.red - steps.at(-1)!.red;
  const isColour = term.redScale === "linear-srgb";
  return [
    { code: "instrument-scale", scale: term.redScale, name: term.scaleName },
    ...(paper === null
      ? [{ code: isColour ? ("instrument-zero-from-steps" as const) : ("instrument-paper-unmeasured" as const) }]
      : []),
    ...(measured.isOtherLight ? [{ code: "instrument-other-light" as const }] : []),
    ...(found.isDarkFirst && fall < -mostReversal ? [{ code: "instrument-reversed" as const }] : []),
    ...(outside.length > 0 ? [{ code: "steps-out-of-gamut" as const, steps: outside }] : []),
  ];
}

/** What a picture says of where its steps lie: it is what the two are compared by. */
const placeCodes: ReadonlySet<string> = new Set(["location-uncertain", "looks-like-other-count", "corners-doubted"]);

/**
 * A print measured both ways: the instrument's densities at the picture's place, and how the camera's differ.
 * @param byInstrument its reading; @param byCamera the same print read from a picture, with the same steps
 * @throws RangeError when the step counts differ
 */
export function measuredBothWays(byInstrument: MeasuredReading, byCamera: MeasuredReading): MeasuredReading {
  const term = byInstrument.instrument;
  if (term === undefined || byInstrument.steps.length !== byCamera.steps.length)
    throw new RangeError("Both readings need the same steps, one of them by an instrument.");
  const steps = byInstrument.steps.map((step, i) => {
    const { box, centre } = byCamera.steps[i]!;
    return { ...step, box, centre };
  });
  // A densitometer that measured visual density alone is compared with the camera's visual density.
  const depth = (step: ReadingStep): number => (term.redScale === "none" ? step.visual : step.red);
  const pairs = steps.flatMap((step, i) => {
    const seen = byCamera.steps[i]!;
    return seen.flags.includes("left-out") ? [] : [{ index: step.index, told: depth(step), seen: depth(seen) }];
  });
  const off = pairs.map(({ told, seen }) => seen - told);
  const worst = off.reduce((at, each, i) => (Math.abs(each) > Math.abs(off[at]!) ? i : at), 0);
  const squares = pairs.reduce((sum, { told }) => sum + told * told, 0);
  const difference = {
    rmsDensity: Math.sqrt(off.reduce((sum, each) => sum + each * each, 0) / Math.max(1, off.length)),
    worstDensity: off[worst] ?? 0,
    worstStep: pairs[worst]?.index ?? 1,
    ratio: squares > 0 ? pairs.reduce((sum, { told, seen }) => sum + told * seen, 0) / squares : 1,
  };
  return {
    ...byInstrument,
    image: byCamera.image,
    location: byCamera.location,
    steps,
    instrument: { ...term, camera: { red: byCamera.steps.map(depth), ...difference } },
    warnings: [
      ...byInstrument.warnings,
      { code: "instrument-and-camera", ...difference },
      ...byCamera.warnings.filter(({ code }) => placeCodes.has(code)),
    ],
  };
}
