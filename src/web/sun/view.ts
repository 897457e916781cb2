// The view object of the sun page: the answer in words and numbers, the day, the anchors to choose from.
import { formatDuration, spokenDuration } from "#shared/format/duration.ts";
import { formatDay } from "#shared/format/instant.ts";
import { formatFixed, formatShare } from "#shared/format/number.ts";
import type { PlotSpec } from "#shared/format/plot.ts";
import type { SunExposureAnswer, SunVerdict } from "#shared/schema/sun/exposure.ts";
import type { Sky } from "#shared/schema/sun/conditions.ts";
import { clockTime, nextDay } from "#shared/sun/local-clock.ts";
import { errorSummary, type ErrorSummary, type FieldOrder } from "#src/web/parts/form-errors.ts";
import type { StoreReader } from "#src/store/store.ts";
import { anchorChoices, type AnchorChoice } from "./anchor-choices.ts";
import { directions, directionWord } from "./directions.ts";
import { strengthPlot, timePlot } from "./plots.ts";
import { sunQuery, type SunForm } from "./form.ts";
import { horizonBearings, horizonFields } from "./horizon-fields.ts";
import type { FieldErrors, FormValues } from "#src/web/parts/form-values.ts";

/** The dose clock is offered for plans that start within this of now. */
const halfDayMs = 43_200_000;

interface SpokenTime {
  readonly shown: string;
  readonly spoken: string;
}

interface HourRow {
  readonly time: string;
  readonly height: string;
  readonly strength: string;
  readonly exposure: string;
  readonly range: string;
}

interface SunAnswerView {
  readonly verdict: SunVerdict;
  readonly time: SpokenTime | null;
  readonly range: { readonly lower: SpokenTime; readonly upper: SpokenTime | null } | null;
  readonly outAndIn: string;
  readonly notice: { readonly tone: "ok" | "caution" | "stop" | "note"; readonly word: string; readonly text: string };
  readonly reasons: readonly string[];
  readonly warnings: readonly { readonly message: string }[];
  readonly tiltAdvice: string | null;
  readonly tiltHref: string | null;
  readonly day: readonly { readonly term: string; readonly value: string }[];
  readonly strengthPlot: PlotSpec | null;
  readonly timePlot: PlotSpec | null;
  readonly hours: readonly HourRow[];
  readonly clockHref: string | null;
  readonly nowHref: string;
  readonly dayHref: string;
  readonly yearHref: string | null;
  readonly earlierHref: string;
  readonly laterHref: string;
  readonly dayWords: string;
  /** Time of day of the start, by the clock named in `clockWords`. */
  readonly startTime: string;
  readonly clockWords: string;
  readonly skyWords: string;
}

export interface SunPageView {
  readonly answer: SunAnswerView | null;
  readonly values: FormValues;
  readonly errors: FieldErrors;
  readonly zones: readonly string[];
  readonly anchors: readonly AnchorChoice[];
  /** The form for a print made in the sun, with that light chosen. */
  readonly newTestHref: string;
  /** Frames that lie outside now. */
  readonly framesOutside: number;
  readonly skies: typeof skyChoices;
  readonly grounds: typeof groundChoices;
  readonly directions: typeof directions;
  /** Heights round the frame, to be filled in. */
  readonly horizon: readonly { readonly name: string; readonly label: string }[];
  readonly summary: ErrorSummary | null;
}

export const skyChoices = [
  { value: "clear", label: "Clear", hint: "blue sky, sharp shadows" },
  { value: "thin-cloud", label: "Thin or small clouds", hint: "shadows, but softer at times" },
  { value: "passing-cloud", label: "Passing clouds", hint: "the sun comes and goes" },
  { value: "overcast", label: "Overcast", hint: "no shadows: make a test strip" },
  { value: "open-shade", label: "Open shade", hint: "the whole sky, no sun: a light of its own" },
] as const;

export const groundChoices = [
  { value: "grass", label: "grass, soil, water, paving" },
  { value: "sand", label: "bright sand" },
  { value: "snow", label: "fresh snow" },
] as const;

const verdictNotices: Readonly<Record<SunVerdict, { tone: "ok" | "caution" | "stop" | "note"; word: string }>> = {
  ok: { tone: "ok", word: "Good" },
  "not-before-sunset": { tone: "caution", word: "Not before sunset" },
  "sun-too-low": { tone: "caution", word: "The sun is too low" },
  "no-anchor": { tone: "note", word: "No print to scale by" },
  "sky-unsuitable": { tone: "caution", word: "No time for this sky" },
};

/** One verdict, coloured by the worst that is said below it. */
function verdictNotice({ verdict, warnings }: SunExposureAnswer): (typeof verdictNotices)[SunVerdict] {
  if (verdict !== "ok" || warnings.length === 0) return verdictNotices[verdict];
  return { tone: "caution", word: "A time with a doubt" };
}

/** What the time holds under, as said beside it. */
const skyWords: Readonly<Record<Sky, string>> = {
  clear: "while the sky is clear",
  "thin-cloud": "under thin or small clouds",
  "passing-cloud": "counted as clear sky; passing clouds make it longer",
  overcast: "under an overcast sky",
  "open-shade": "in open shade",
};

const fieldOrder: FieldOrder = [
  "city",
  "latitude",
  "longitude",
  ["timeZone", "time-zone"],
  "date",
  "time",
  ["tiltDegrees", "tilt"],
  ["facingDegrees", "facing"],
  "sky",
  ["anchor", "anchors"],
  "ground",
  "glass",
  ["elevationM", "elevation"],
  ...horizonFields,
  "haze",
];

const degrees = (value: number): string => `${formatFixed(value, 0)}°`;
const timeOf = (instant: string): string => instant.slice(11, 16);
const spoken = (seconds: number): SpokenTime => ({ shown: formatDuration(seconds), spoken: spokenDuration(seconds) });

/** The whole page. */
export function sunPageView(
  store: StoreReader,
  form: SunForm,
  answer: SunExposureAnswer | null,
  nowMs: number,
): SunPageView {
  return {
    answer: answer === null ? null : answerView(form, answer, nowMs),
    values: form.values,
    errors: form.errors,
    zones: Intl.supportedValuesOf("timeZone"),
    anchors: anchorChoices(store, form.anchors),
    newTestHref: newTestHref(store),
    framesOutside: store.sunFrames.list().filter(({ endedAt }) => endedAt === null).length,
    skies: skyChoices,
    grounds: groundChoices,
    directions,
    horizon: horizonBearings,
    summary: errorSummary(form.errors, fieldOrder),
  };
}

function newTestHref(store: StoreReader): string {
  const sun = store.lamps.list().find(({ kind }) => kind === "sun");
  const query = sun === undefined ? { newLampName: "The sun" } : { lampId: sun.id };
  return `/tests/new?${new URLSearchParams(query).toString()}`;
}

type Tilt = NonNullable<SunExposureAnswer["tilt"]>;

const isWorthTilting = ({ gain }: Tilt): boolean => gain > 1.03;

function tiltWords(tilt: Tilt): string {
  if (!isWorthTilting(tilt)) return "The frame stands well: turning it further gains next to nothing.";
  return (
    `Tilted ${degrees(tilt.tiltDegrees)} and facing ${directionWord(tilt.facingDegrees)} ` +
    `(${degrees(tilt.facingDegrees)}), ` +
    `at right angles to the sun, the frame would get ${formatFixed(tilt.gain, 2)} times this light.`
  );
}

function answerView(form: SunForm, answer: SunExposureAnswer, nowMs: number): SunAnswerView {
  const { seconds, day, tilt } = answer;
  const { clock } = form;
  const [first = "", ...further] = answer.reasons;
  const isGain = tilt !== null && isWorthTilting(tilt);
  return {
    verdict: answer.verdict,
    time: seconds === null ? null : spoken(seconds),
    range: rangeOf(answer),
    outAndIn:
      answer.endAt === null
        ? ""
        : `out at ${timeOf(answer.startAt)}, in at ${clockTime(clock, Date.parse(answer.endAt))}`,
    notice: { ...verdictNotice(answer), text: first },
    reasons: further,
    warnings: answer.warnings,
    tiltAdvice: tilt === null ? null : tiltWords(tilt),
    tiltHref: isGain
      ? `/sun?${sunQuery(form, { tiltDegrees: String(tilt.tiltDegrees), facingDegrees: String(tilt.facingDegrees) })}`
      : null,
    day: dayRows(answer),
    strengthPlot: answer.series.length < 2 ? null : strengthPlot(answer, clock),
    timePlot: timePlot(answer, clock),
    hours: hourRows(answer),
    clockHref:
      answer.verdict === "ok" && Math.abs(Date.parse(answer.startAt) - nowMs) < halfDayMs
        ? `/sun/frames?${sunQuery(form, { date: "", time: "" })}`
        : null,
    yearHref: answer.dose === null ? null : `/sun/year?${sunQuery(form)}`,
    dayHref: `/sun/day?${sunQuery(form)}`,
    nowHref: `/sun?${sunQuery(form, { date: "", time: "" })}`,
    earlierHref: `/sun?${sunQuery(form, { date: nextDay(day.date, -1), time: timeOf(answer.startAt) })}`,
    laterHref: `/sun?${sunQuery(form, { date: nextDay(day.date, 1), time: timeOf(answer.startAt) })}`,
    dayWords: formatDay(day.date),
    skyWords: skyWords[answer.sky],
    startTime: timeOf(answer.startAt),
    clockWords: clock.name.replaceAll("_", " "),
  };
}

/** The sun's day in words, and the sun at the start. */
function dayRows({ day, sun }: SunExposureAnswer): SunAnswerView["day"] {
  const withoutRise = day.kind === "up" ? "up all day" : "none";
  return [
    {
      term: "Sunrise",
      value: day.sunriseAt === null ? withoutRise : timeOf(day.sunriseAt),
    },
    {
      term: "Sunset",
      value: day.sunsetAt === null ? withoutRise : timeOf(day.sunsetAt),
    },
    {
      term: "Highest",
      value:
        `${timeOf(day.highestAt)}, ` +
        `${day.highestHeightDegrees < 0 ? "below the horizon" : degrees(day.highestHeightDegrees)}`,
    },
    {
      term: "Higher than 10°",
      value:
        day.useful.length === 0
          ? "never"
          : day.useful.map((stretch) => `${timeOf(stretch.fromAt)} to ${timeOf(stretch.untilAt)}`).join(", "),
    },
    {
      term: "Best window",
      value: day.bestWindow === null ? "none" : `${timeOf(day.bestWindow.fromAt)} to ${timeOf(day.bestWindow.untilAt)}`,
    },
    {
      term: "At the start",
      value:
        sun.heightDegrees < 0
          ? "the sun is down"
          : `${degrees(sun.heightDegrees)} high in the ${directionWord(sun.azimuthDegrees)}, ` +
            `${formatShare(sun.strengthShare)} of the day's best`,
    },
  ];
}

/** The start at every full hour, with its time. */
function hourRows({ series }: SunExposureAnswer): SunAnswerView["hours"] {
  return series
    .filter((point) => point.at.slice(14, 16) === "00")
    .map((point) => ({
      time: timeOf(point.at),
      height: degrees(point.heightDegrees),
      strength: formatShare(point.strengthShare),
      exposure: point.seconds === null ? "none" : formatDuration(point.seconds),
      range:
        point.seconds === null || point.lowerSeconds === null
          ? ""
          : `${formatDuration(point.lowerSeconds)} to ` +
            `${point.upperSeconds === null ? "past sunset" : formatDuration(point.upperSeconds)}`,
    }));
}

function rangeOf({ seconds, lowerSeconds, upperSeconds }: SunExposureAnswer): SunAnswerView["range"] {
  if (seconds === null || lowerSeconds === null) return null;
  return { lower: spoken(lowerSeconds), upper: upperSeconds === null ? null : spoken(upperSeconds) };
}
