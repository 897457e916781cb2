// The result page's view object: a saved test in the words and figures that a printmaker reads.
import type { AnswerView } from "#src/web/parts/answer-view.ts";
import { formatDuration } from "#shared/format/duration.ts";
import { formatDay, formatDayAndTime } from "#shared/format/instant.ts";
import { formatDensity, formatFixed, formatLightness, formatLogH, formatShare } from "#shared/format/number.ts";
import type { PlotSpec } from "#shared/format/plot.ts";
import type { Curve, DepthRow } from "#shared/schema/curve.ts";
import type { Reading, Warning } from "#shared/schema/reading.ts";
import { answerOf, carriesTones } from "./answer.ts";
import { printHrefOf, sunHrefOf } from "./ways.ts";
import type { SavedTest } from "#shared/schema/test.ts";
import { rangeSourceWords } from "#shared/words/range-words.ts";
import type { StoreReader } from "#src/store/store.ts";
import { curvePlot } from "./curve-plot.ts";
import { stripCutout, type StripCutout } from "./strip-cutout.ts";
import { materialsText } from "#src/web/parts/materials-text.ts";
import { timeWords, type TimeWords } from "#src/web/parts/time-words.ts";
import {
  goodForTones,
  goodIfInPlace,
  isMinorWarning,
  placeWarnings,
  verdictWords,
  type VerdictWords,
} from "#src/web/parts/verdict-words.ts";

/** A row of the table of depths. */
interface DepthLine {
  readonly depth: string;
  readonly time: string;
  readonly range: string;
  readonly missing: string;
}

export interface ResultView {
  readonly depths: readonly DepthLine[];
  readonly budget: readonly { readonly source: string; readonly stops: string }[];
  readonly id: string;
  readonly invented: boolean;
  readonly materials: string;
  readonly madeOn: string;
  readonly answer: AnswerView;
  readonly verdict: VerdictWords;
  readonly next: TimeWords | null;
  readonly reasons: readonly string[];
  readonly warnings: readonly Warning[];
  /** Minor ones, shown last. */
  readonly remarks: readonly Warning[];
  readonly plot: PlotSpec | null;
  readonly figures: readonly Figure[];
  readonly stepTable: StepTable;
  readonly conditions: readonly { readonly term: string; readonly value: string }[];
  readonly picture: MarkedPicture;
  /** The strip by itself, level and large; null for a sheet. */
  readonly strip: StripCutout | null;
  /** A strip of levels or a wedge sheet carries a tone curve. */
  readonly hasCorrection: boolean;
  /** How straight the print of a check sheet came out; null for any other test. */
  readonly checkHref: string | null;
  /** A second test of the same combination would make the range smaller. */
  readonly lookupHref: string;
  /**
   * A run sheet filled with this test's materials and time; null where there is none to print by, or the sun decides.
   */
  readonly printHref: string | null;
  /** The day planner scaled by this test; null when it was not printed in the sun. */
  readonly sunHref: string | null;
}

interface Figure {
  readonly term: string;
  readonly value: string;
  readonly meaning: string;
}

interface StepTable {
  /** What the densities count from. */
  readonly zero: string;
  readonly inputLabel: string;
  readonly rows: readonly {
    readonly index: number;
    readonly input: string;
    readonly red: string;
    readonly visual: string;
    readonly lightness: string;
    readonly sigma: string;
    readonly swatch: number;
    readonly flags: string;
  }[];
}

interface MarkedPicture {
  readonly pictureId: string;
  readonly width: number;
  readonly height: number;
  readonly strip: string;
  readonly boxes: readonly {
    readonly points: string;
    readonly index: number;
    readonly x: number;
    readonly y: number;
    readonly isFlagged: boolean;
    readonly label: string;
  }[];
  /** Line and letter size that suit the picture's size, pixels of the picture. */
  readonly strokePx: number;
}

const inputLabels = {
  transmission: "tablet density",
  timed: "time",
  levels: "grey level",
  sheet: "grey level",
} as const;

/** What a flag of a step means, for people. */
const flagWords: Readonly<Record<string, string>> = {
  clipped: "too bright for the camera",
  crushed: "too dark for the camera",
  "out-of-gamut": "deeper blue than the picture can hold",
  uneven: "uneven inside",
  glare: "glare",
  "left-out": "left out",
};

function flagText(flags: readonly string[]): string {
  return flags.map((flag) => flagWords[flag] ?? flag.replaceAll("-", " ")).join(", ");
}

/** Position of a lightness among the nine swatch tones of the style sheet: 0 paper white to 8 deepest blue. */
function swatchOf(lightness: number): number {
  return Math.min(8, Math.max(0, Math.round((100 - lightness) / 9)));
}

/** The strip and its sampled boxes over the picture, as SVG points. */
function markedPicture(pictureId: string, reading: Reading): MarkedPicture {
  const pointsOf = (points: readonly (readonly [number, number])[]): string =>
    points.map(([x, y]) => `${formatPx(x)},${formatPx(y)}`).join(" ");
  return {
    pictureId,
    width: reading.image.width,
    height: reading.image.height,
    strip: pointsOf(reading.location.corners),
    strokePx: Math.max(1, Math.round(Math.max(reading.image.width, reading.image.height) / 400)),
    boxes: reading.steps.map((step) => ({
      points: pointsOf(step.box),
      index: step.index,
      x: step.centre[0],
      y: step.centre[1],
      isFlagged: step.flags.length > 0,
      label: `Step ${step.index}: red density ${formatDensity(step.red)}${step.flags.length > 0 ? `, ${flagText(step.flags)}` : ""}`,
    })),
  };
}

function formatPx(value: number): string {
  return String(Math.round(value * 10) / 10);
}

function stepTable(reading: Reading, tabletKind: keyof typeof inputLabels): StepTable {
  return {
    zero: reading.sheet?.zero?.of === "own-white" ? "the sheet's own white (no bare paper was seen)" : "bare paper",
    inputLabel: inputLabels[tabletKind],
    rows: reading.steps.map((step) => ({
      index: step.index,
      input:
        tabletKind === "timed"
          ? formatDuration(step.input)
          : tabletKind === "transmission"
            ? formatDensity(step.input)
            : formatFixed(step.input, Number.isInteger(step.input) ? 0 : 1),
      red: formatDensity(step.red),
      visual: formatDensity(step.visual),
      lightness: formatLightness(step.lightness),
      sigma: formatFixed(step.sigma, 3),
      swatch: swatchOf(step.lightness),
      flags: flagText(step.flags),
    })),
  };
}

function figuresOf(curve: Curve): Figure[] {
  const { toe, mid, shoulder } = curve.points;
  const point = (term: string, value: { logH: number; density: number } | null, meaning: string): Figure => ({
    term,
    value: value === null ? "not reached" : `log H ${formatLogH(value.logH)}, density ${formatDensity(value.density)}`,
    meaning,
  });
  return [
    {
      term: "Log exposure range",
      value: curve.logExposureRange === null ? "not reached" : formatLogH(curve.logExposureRange),
      meaning: "The density range that your negative should have, under this light.",
    },
    shoulder === null
      ? {
          term: "D-max",
          value: `about ${formatDensity(curve.dMax)}`,
          meaning: "Reckoned from the shape: the strip did not reach it.",
        }
      : { term: "D-max", value: formatDensity(curve.dMax), meaning: "Deepest blue above bare paper." },
    { term: "D-min", value: formatDensity(curve.dMin), meaning: "Stain of the clear areas above bare paper." },
    {
      term: "Average gradient",
      value: curve.averageGradient === null ? "not reached" : formatFixed(curve.averageGradient, 2),
      meaning: "Contrast from toe to shoulder.",
    },
    point("Toe", toe, "First tone: 0.04 above D-min."),
    point("Mid", mid, "Density 0.60 above D-min."),
    point("Shoulder", shoulder, "90 % of what the paper can give."),
  ];
}

function conditionsOf(test: SavedTest): { term: string; value: string }[] {
  const { request, reading } = test;
  const rows: [string, string | null][] = [
    ["Made", request.madeAt === undefined ? null : formatDayAndTime(request.madeAt)],
    ["Exposed for", request.exposureSeconds === undefined ? null : formatDuration(request.exposureSeconds)],
    ["Distance from the light", request.lampDistanceMm == null ? null : `${request.lampDistanceMm} mm`],
    ["Lamp hours", request.lampHours == null ? null : `${request.lampHours} h`],
    ["Humidity", request.humidityPercent == null ? null : `${request.humidityPercent} %`],
    ["Temperature", request.temperatureC == null ? null : `${request.temperatureC} °C`],
    [
      "Print",
      [
        request.dry === false ? "not dry" : request.dry === true ? "dry" : "",
        request.oxidised === false ? "not yet oxidised" : request.oxidised === true ? "fully oxidised" : "",
      ]
        .filter((text) => text !== "")
        .join(", ") || null,
    ],
    ["Film over the tablet", request.filmInTest ? "yes" : "no"],
    [
      "Sun",
      request.sun == null
        ? null
        : `${request.sun.latitude}°, ${request.sun.longitude}°, from ${formatDayAndTime(request.sun.startedAt)}`,
    ],
    [
      "Picture",
      `${reading.image.width} × ${reading.image.height} pixels, ${reading.image.bitsPerChannel} bit, ` +
        `${reading.image.profile}`,
    ],
    [
      "Tablet",
      reading.location.method === "given"
        ? "by corners that were given"
        : `found by itself, confidence ${confidenceWords(reading.location.confidence)}`,
    ],
    ["Read by", `Wedgewright ${test.madeBy}`],
    ["Notes", request.notes === "" ? null : request.notes],
  ];
  return rows.flatMap(([term, value]) => (value === null ? [] : [{ term, value }]));
}

/** Never rounded up to certainty. */
const confidenceWords = (confidence: number): string =>
  confidence >= 0.99 ? "over 99 %" : formatShare(Math.floor(confidence * 100) / 100);

export function resultView(store: StoreReader, test: SavedTest): ResultView {
  const { request, exposure, curve } = test;
  const hasCorrection = carriesTones(test);
  const query = new URLSearchParams({
    lampId: request.lampId,
    supportId: request.supportId,
    coatingId: request.coatingId,
    ...(request.filmId == null ? {} : { filmId: request.filmId }),
  });
  return {
    id: test.id,
    invented: test.invented,
    materials: materialsText(store, request),
    madeOn: formatDay(request.madeAt ?? test.createdAt),
    answer: answerOf(store, test),
    verdict: verdictOf(test, hasCorrection),
    next: exposure.nextTestSeconds === null ? null : timeWords(exposure.nextTestSeconds),
    depths: (exposure.depths ?? []).map(depthRow),
    budget: (exposure.budget ?? []).map(({ source, stops }) => ({
      source: rangeSourceWords(source),
      stops: formatFixed(stops, 2),
    })),
    reasons: exposure.reasons,
    warnings: test.warnings.filter(({ code }) => !isMinorWarning(code)),
    remarks: test.warnings.filter(({ code }) => isMinorWarning(code)),
    plot: curve === null || curve.samples.length === 0 ? null : curvePlot(curve),
    figures: curve === null ? [] : figuresOf(curve),
    stepTable: stepTable(test.reading, request.tablet.kind),
    conditions: conditionsOf(test),
    picture: markedPicture(test.pictureId, test.reading),
    strip: stripCutout(test.pictureId, test.reading),
    hasCorrection,
    checkHref: (test.reading.sheet?.correctionMark ?? null) === null ? null : `/tests/${test.id}/sheet-check`,
    lookupHref: `/exposures?${query.toString()}`,
    printHref: printHrefOf(test),
    sunHref: sunHrefOf(test),
  };
}

/** What is said of the test in a word and a sentence. */
function verdictOf({ exposure, warnings }: SavedTest, hasCorrection: boolean): VerdictWords {
  if (exposure.verdict !== "ok") return verdictWords[exposure.verdict];
  if (warnings.some(({ code }) => placeWarnings.has(code))) return goodIfInPlace;
  return hasCorrection && exposure.seconds === null ? goodForTones : verdictWords.ok;
}

/** One depth of blue, as the table beside the answer has it. */
function depthRow(row: DepthRow): DepthLine {
  return {
    depth: row.kind === "share" ? formatShare(row.share) : "the eye sees no deeper blue",
    time: row.seconds === null ? "not in this strip" : formatDuration(row.seconds),
    range:
      row.lowerSeconds === null || row.upperSeconds === null
        ? "–"
        : `${formatDuration(row.lowerSeconds)} to ${formatDuration(row.upperSeconds)}`,
    missing: formatFixed(row.lightnessMissing, 1),
  };
}
