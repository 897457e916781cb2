// What the page before the first test shows: the light, the tablet, how long, and how sure that is.
import { isDaylight } from "#shared/lamp/daylight.ts";
import {
  firstExposure,
  noonSun,
  usualDistanceMm,
  usualTime,
  type FirstExposure,
  type FirstLight,
  type NoonSun,
  type TabletSpan,
  type UsualTime,
} from "#shared/advice/first-exposure.ts";
import { formatDuration } from "#shared/format/duration.ts";
import { formatFixed } from "#shared/format/number.ts";
import { plainTime } from "#shared/format/plain-time.ts";
import type { Lamp } from "#shared/schema/materials.ts";
import { tabletForRequest } from "#shared/tablet/own-tablet.ts";
import type { FirstTestSheet } from "#src/output/first-test-sheet.ts";
import { lidCautions } from "#shared/words/materials/lid-card-words.ts";
import {
  firstTestChecklist,
  firstTestLines,
  layingSteps,
  tabletAdvice,
  tabletToLookFor,
  usualTimesNote,
} from "#shared/words/tests/first-test-words.ts";
import type { StoreReader } from "#src/store/store.ts";
import type { Choice, FieldView } from "#src/web/parts/field-view.ts";
import { errorSummary } from "#src/web/parts/form-errors.ts";
import { numberOf, textOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { stripSeries } from "#src/web/tests/strip-series.ts";
import { ownTabletValue, usualFirstDensity } from "#src/web/tests/tablet-form.ts";

const lightWords: Readonly<Record<FirstLight, string>> = {
  tubes: "A bank of tubes",
  led: "A field of diodes",
  panel: "An even panel",
  point: "A single small lamp",
  sun: "The sun",
  shade: "Open shade",
  other: "Some other ultraviolet light",
};

/** Strips whose steps are a stop apart: the fewest moves of the cover. */
const doublingStrips = stripSeries.filter(({ key }) => key.endsWith("-1"));

interface LaidTablet extends TabletSpan {
  readonly value: string;
  readonly label: string;
  /** Lengths that are offered [s]; those of a clock when absent. */
  readonly lengths?: readonly number[];
}

function tabletsToLay(store: StoreReader): LaidTablet[] {
  const own = store.tablets.list().map((tablet) => {
    const { densities } = tabletForRequest(tablet);
    const [clearDensity = 0, densest = 0] = [densities[0], densities.at(-1)];
    return { value: ownTabletValue(tablet.id), label: tablet.name, clearDensity, spanLogH: densest - clearDensity };
  });
  const longest = doublingStrips.reduce((a, b) => (b.seconds.length > a.seconds.length ? b : a));
  return [
    ...own,
    { value: "even-21", label: "Film tablet, 21 steps", clearDensity: usualFirstDensity, spanLogH: 3 },
    { value: "even-31", label: "Film tablet, 31 steps", clearDensity: usualFirstDensity, spanLogH: 3 },
    {
      value: "timed",
      label: "Strip uncovered in steps",
      clearDensity: 0,
      spanLogH: Math.log10((longest.seconds[0] ?? 1) / (longest.seconds.at(-1) ?? 1)),
      lengths: doublingStrips.map(({ seconds }) => seconds[0] ?? 0),
    },
  ];
}

/** What was chosen on the page, put in order. */
interface FirstTestWish {
  readonly lamp: Pick<Lamp, "kind"> & Partial<Lamp>;
  readonly tablet: LaidTablet;
  readonly distanceMm: number | undefined;
  readonly latitude: number | undefined;
  readonly errors: FieldErrors;
}

function wishOf(store: StoreReader, values: FormValues): FirstTestWish {
  const light = textOf(values, "light");
  const own = store.lamps.list().find(({ id }) => id === light);
  const kind = (light in lightWords ? light : "tubes") as FirstLight;
  const lamp = own ?? { kind };
  const tablets = tabletsToLay(store);
  const tablet = tablets.find(({ value }) => value === textOf(values, "tabletChoice")) ?? tablets[0]!;
  const errors: FieldErrors = {};
  const distanceMm = numberOf(values, "distanceMm") ?? own?.distanceMm ?? undefined;
  if (distanceMm !== undefined && !(distanceMm >= 1 && distanceMm <= 10_000))
    errors["distanceMm"] = "Give the distance in millimetres, from 1 to 10000.";
  const latitude = numberOf(values, "latitude");
  if (latitude !== undefined && !(Math.abs(latitude) <= 90))
    errors["latitude"] = "Give the latitude in degrees, from −90 to 90.";
  return { lamp, tablet, distanceMm, latitude, errors };
}

interface FirstTest {
  readonly wish: FirstTestWish;
  readonly sun: NoonSun | null;
  readonly usual: UsualTime | null;
  readonly first: FirstExposure | null;
}

/** @param atMs the day that the sun is reckoned for */
function firstTestOf(store: StoreReader, values: FormValues, atMs: number): FirstTest {
  const wish = wishOf(store, values);
  const { kind } = wish.lamp;
  if (Object.keys(wish.errors).length > 0) return { wish, sun: null, usual: null, first: null };
  const sun = isDaylight(kind) && wish.latitude !== undefined ? noonSun(kind, wish.latitude, atMs) : null;
  if (sun?.strength === null) return { wish, sun, usual: null, first: null };
  const usual = usualTime(wish.lamp, { distanceMm: wish.distanceMm, strength: sun?.strength ?? 1 });
  return { wish, sun, usual, first: firstExposure(usual, wish.tablet, wish.tablet.lengths) };
}

function findsWords({ chance }: FirstExposure): string {
  const tenths = Math.round(chance * 10);
  return `About ${tenths} in 10 prints lie there; outside it, the test says how long the next test must be.`;
}

function sunWords({ sun, wish }: FirstTest): string | null {
  const { kind } = wish.lamp;
  if (!isDaylight(kind)) return null;
  if (sun === null) return "Reckoned for a high summer sun. With your latitude the season is counted in.";
  const height = `At noon today the sun stands ${formatFixed(sun.heightDegrees, 0)}° high there`;
  if (sun.strength === null) return `${height}: too low to print by. Wait for the season, or use a lamp.`;
  return `${height}, and prints ${formatFixed(sun.strength, 2)} times as strongly as 60° high in clear air.`;
}

const fieldIds = [
  ["light", "first-light"],
  ["distanceMm", "first-distance"],
  ["latitude", "first-latitude"],
  ["tabletChoice", "first-tablet"],
] as const;

const latitudeField: FieldView = {
  name: "latitude",
  id: "first-latitude",
  kind: "number",
  label: "Latitude, north positive",
  unit: "degrees",
  attributes: { min: -90, max: 90 },
};

function distanceField(usualMm: number | null): FieldView {
  const attributes = { min: 1, max: 10_000, placeholder: usualMm ?? "" };
  return {
    name: "distanceMm",
    id: "first-distance",
    kind: "number",
    label: "Distance to the print",
    unit: "mm",
    attributes,
  };
}

function fieldsOf(store: StoreReader, { wish }: FirstTest): FieldView[] {
  const kinds = Object.entries(lightWords).map(([value, label]): Choice => ({ value, label }));
  const lights = [...store.lamps.list().map(({ id, name }) => ({ value: id, label: name })), ...kinds];
  const { kind } = wish.lamp;
  return [
    { name: "light", id: "first-light", kind: "select", label: "Light", options: lights },
    isDaylight(kind) ? latitudeField : distanceField(usualDistanceMm(kind)),
    {
      name: "tabletChoice",
      id: "first-tablet",
      kind: "select",
      label: "What you lay on it",
      options: tabletsToLay(store).map(({ value, label }) => ({ value, label })),
    },
  ];
}

function lightName({ lamp }: FirstTestWish): string {
  return lamp.name ?? lightWords[lamp.kind];
}

type Series = (typeof stripSeries)[number];

/** The series of waits that makes a strip of this time; null for a film tablet. */
function seriesOf({ wish, first }: FirstTest): Series | null {
  if (wish.tablet.value !== "timed" || first === null) return null;
  return doublingStrips.find(({ seconds }) => seconds[0] === first.seconds) ?? null;
}

/** The new-test form, filled with what is known before the print is made. */
function newTestHref(test: FirstTest): string {
  const { wish, first } = test;
  const series = seriesOf(test);
  const time: Record<string, string> =
    first === null ? {} : { exposureMinutes: String(Math.floor(first.seconds / 60)), exposureSecondsPart: "0" };
  const query = new URLSearchParams({
    tabletChoice: wish.tablet.value,
    ...(wish.lamp.id === undefined ? {} : { lampId: wish.lamp.id }),
    ...(series === null ? time : { timedSeries: series.key }),
  });
  return `/tests/new?${query.toString()}`;
}

function answerOf(test: FirstTest) {
  const { usual, first } = test;
  if (usual === null || first === null) return null;
  return {
    time: plainTime(first.seconds),
    lower: formatDuration(first.found.lowerSeconds),
    upper: formatDuration(first.found.upperSeconds),
    finds: findsWords(first),
    usual: `${plainTime(roundMinutes(usual.lowerSeconds))} to ${plainTime(roundMinutes(usual.upperSeconds))}`,
    series: seriesOf(test),
  };
}

/** The page's view object. */
export function firstTestView(store: StoreReader, values: FormValues, atMs: number) {
  const test = firstTestOf(store, values, atMs);
  const { lamp, tablet, errors } = test.wish;
  const lampId = lamp.id ?? "";
  const answer = answerOf(test);
  const chosen = new URLSearchParams(Object.entries(values).filter(([, value]) => value.trim() !== ""));
  return {
    fields: fieldsOf(store, test),
    values: { ...values, light: lampId || lamp.kind, tabletChoice: tablet.value },
    errors,
    summary: errorSummary(errors, fieldIds),
    sun: sunWords(test),
    hasTests: lampId !== "" && store.lamps.countTests(lampId) > 0,
    lookupHref: `/exposures?lampId=${encodeURIComponent(lampId)}`,
    answer,
    newTestHref: newTestHref(test),
    paperHref: `/first-test.pdf?${chosen.toString()}`,
    checklist: firstTestChecklist(answer?.time ?? "the time above"),
    tabletAdvice,
    series: doublingStrips,
    tabletToLookFor,
    layingSteps,
    note: usualTimesNote,
  };
}

/** A guess is told in whole minutes. */
function roundMinutes(seconds: number): number {
  return Math.max(60, Math.round(seconds / 60) * 60);
}

/** What the sheet of paper says; null while no time can be given. */
export function firstTestSheetOf(store: StoreReader, values: FormValues, atMs: number): FirstTestSheet | null {
  const { wish, first } = firstTestOf(store, values, atMs);
  if (first === null) return null;
  return {
    light: lightName(wish),
    tablet: wish.tablet.label,
    time: plainTime(first.seconds),
    finds:
      `Finds print times from ${formatDuration(first.found.lowerSeconds)} to ` +
      `${formatDuration(first.found.upperSeconds)}. ${findsWords(first)}`,
    checklist: firstTestChecklist(plainTime(first.seconds)),
    lines: firstTestLines,
    note: usualTimesNote,
    cautions: lidCautions,
  };
}
