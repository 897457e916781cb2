// From saved tests and judged prints to what the studio's model is told: bare log times, each with what it shares with
// others.
import { isDaylight } from "#shared/lamp/daylight.ts";
import { distanceChange, shapeOfLamp } from "#shared/lamp/distance-change.ts";
import { filmInLight, type LitFilm } from "#shared/film/film-in-light.ts";
import type { Film, Lamp } from "#shared/schema/materials.ts";
import type { Outcome } from "#shared/schema/prints.ts";
import {
  unknownFinish,
  type Circumstances,
  type FilmOver,
  type Observation,
} from "#shared/studio-model/observation.ts";
import { isSameObservation } from "#shared/studio-model/same-observation.ts";
import type { ExposureInput, TimedTest } from "./lookup-input.ts";

/**
 * A tablet's label beside its densities in the light of the lamp: base [density], scale [share]. common practice, no
 * source
 */
const tabletBaseSigma = 0.02;
const tabletScaleSigma = 0.025;
/**
 * A print is called right within about a third of a stop, and the eye is no sharper than that. common practice, no
 * source
 */
const rightWithinLogH = 0.1;
const judgementSigma = 0.06;
/** Distances closer than this are the same. */
export const sameDistanceShare = 0.01;

export interface JudgedPrint {
  readonly id: string;
  readonly createdAt: string;
  readonly lampId: string;
  readonly supportId: string;
  readonly coatingId: string;
  readonly batchId: string | null;
  readonly filmId: string | null;
  readonly exposureSeconds: number;
  readonly outcome: Outcome;
}

export interface StudioRecords {
  /** Tests of one channel, newest first. */
  readonly tests: readonly TimedTest[];
  readonly prints: readonly JudgedPrint[];
  readonly lamps: readonly Lamp[];
  readonly films: readonly Film[];
}

/** Why a test does not count. */
type LeftOutReason = "read-together" | "unreliable" | "same-picture" | "no-time" | "sun" | "film-unknown";

/**
 * Why a test does not count, or null when it does.
 * @param newerPictures pictures of newer tests: one print counts once
 * @param readTogether tests that stand in another one, whose strip lay head to tail with theirs
 */
function leftOutReason(
  test: TimedTest,
  {
    newerPictures,
    readTogether,
    lamp,
    film,
  }: {
    newerPictures: ReadonlySet<string>;
    readTogether: ReadonlySet<string>;
    lamp: Lamp | undefined;
    film: LitFilm | undefined;
  },
): LeftOutReason | null {
  if (readTogether.has(test.id)) return "read-together";
  if (isSunlit(test, lamp)) return "sun";
  if (test.verdict === "unreliable") return "unreliable";
  if (test.shoulderLogH === null && test.boundLogSeconds === null) return "no-time";
  if (test.filmInTest && (film?.baseDensity ?? null) === null) return "film-unknown";
  return newerPictures.has(test.pictureId) ? "same-picture" : null;
}

/** Whether its seconds hold for one day's sun only. */
function isSunlit(test: Pick<TimedTest, "isUnderSun">, lamp: Pick<Lamp, "kind"> | undefined): boolean {
  return test.isUnderSun || isDaylight(lamp?.kind);
}

/**
 * The distance that a lamp's times stand at when nothing else is said: its usual one, else that of its newest test
 * [mm].
 */
export function referenceDistanceMm(lamp: Pick<Lamp, "id" | "distanceMm">, tests: readonly TimedTest[]): number | null {
  return (
    lamp.distanceMm ??
    tests.find((test) => test.lampId === lamp.id && test.lampDistanceMm !== null)?.lampDistanceMm ??
    null
  );
}

/** What another distance than the lamp's reference does; null where it is the same, or one of the two is not known. */
export function distanceTerm(
  lamp: Lamp | undefined,
  referenceMm: number | null,
  atMm: number | null,
): Circumstances["distance"] {
  if (lamp === undefined || referenceMm === null || atMm === null) return null;
  if (Math.abs(atMm / referenceMm - 1) < sameDistanceShare) return null;
  const change = distanceChange({ shape: shapeOfLamp(lamp), fromMm: referenceMm, toMm: atMm, measuredMm: [atMm] });
  if (change === null) return null;
  // One lamp's shape errs the same way at every distance beyond the reference, and the other way before it.
  return { shiftLogH: change.shiftLogH, sigmaLogH: Math.sign(atMm - referenceMm) * change.sigmaLogH };
}

/** A film over the coating; one of unknown density weighs nothing, as its answer says. */
function filmOver(film: LitFilm | null | undefined): FilmOver | null {
  if (film === null || film === undefined) return null;
  const { id, baseDensity, commonSigma, lampSigma } = film;
  return { id, density: baseDensity ?? 0, commonSigma, lampSigma };
}

/** Each film as each lamp finds it, reckoned once. */
function filmsInLight(films: readonly Film[], lamps: readonly Lamp[]) {
  const filmOf = new Map(films.map((film) => [film.id, film]));
  const known = new Map<string, LitFilm>();
  return (filmId: string | null, lamp: Lamp | undefined): LitFilm | undefined => {
    const film = filmId === null ? undefined : filmOf.get(filmId);
    if (film === undefined || lamp === undefined) return undefined;
    const key = `${film.id} ${lamp.id}`;
    const lit = known.get(key) ?? filmInLight(film, lamp, lamps);
    known.set(key, lit);
    return lit;
  };
}

/** What the records say, with what it was drawn from, so that next time only what changed is drawn anew. */
export interface DrawnObservations {
  readonly observations: readonly Observation[];
  readonly from: Pick<StudioRecords, "lamps" | "films">;
  readonly references: ReadonlyMap<string, number | null>;
  readonly ofRecord: ReadonlyMap<TimedTest | JudgedPrint, Observation>;
}

/**
 * Everything that counts, once.
 * @param before what was drawn last: observations that say the same as then are the same objects, and those of records
 *   that are the same objects, under lamps and films that are, are not even drawn again
 */
export function studioObservations(
  { tests, prints, lamps, films }: StudioRecords,
  before: DrawnObservations | null = null,
): DrawnObservations {
  const lampOf = new Map(lamps.map((lamp) => [lamp.id, lamp]));
  const litFilm = filmsInLight(films, lamps);
  const references = new Map(lamps.map((lamp) => [lamp.id, referenceDistanceMm(lamp, tests)]));
  const isSameLight = before !== null && before.from.lamps === lamps && before.from.films === films;
  const drawn = (record: TimedTest | JudgedPrint): Observation | undefined =>
    isSameLight && before.references.get(record.lampId) === references.get(record.lampId)
      ? before.ofRecord.get(record)
      : undefined;
  let known: ReadonlyMap<string, Observation> | undefined;
  const asBefore = (fresh: Observation): Observation => {
    known ??= new Map(before?.observations.map((each) => [each.id, each]));
    const same = known.get(fresh.id);
    return same !== undefined && isSameObservation(same, fresh) ? same : fresh;
  };
  const ofRecord = new Map<TimedTest | JudgedPrint, Observation>();
  const newerPictures = new Set<string>();
  const readTogether = new Set(tests.flatMap(({ readWithId }) => readWithId ?? []));
  for (const test of tests) {
    const lamp = lampOf.get(test.lampId);
    const film = litFilm(test.filmId, lamp);
    const reason = leftOutReason(test, { newerPictures, readTogether, lamp, film });
    if (reason === null || reason === "same-picture") newerPictures.add(test.pictureId);
    if (reason !== null) continue;
    const reference = references.get(test.lampId) ?? null;
    ofRecord.set(test, drawn(test) ?? asBefore(testObservation(test, { lamp, film, reference })));
  }
  for (const print of prints) {
    const observation = drawn(print) ?? printObservation(print, lampOf.get(print.lampId), litFilm);
    if (observation !== null) ofRecord.set(print, asBefore(observation));
  }
  return { observations: [...ofRecord.values()], from: { lamps, films }, references, ofRecord };
}

function testObservation(
  test: TimedTest,
  { lamp, film, reference }: { lamp: Lamp | undefined; film: LitFilm | undefined; reference: number | null },
): Observation {
  const circumstances = {
    lampId: test.lampId,
    supportId: test.supportId,
    coatingId: test.coatingId,
    batchId: test.batchId,
    film: test.filmInTest ? filmOver(film) : null,
    distance: distanceTerm(lamp, reference, test.lampDistanceMm ?? lamp?.distanceMm ?? reference),
    lampHours: test.lampHours,
    humidityPercent: test.humidityPercent,
    finish: test.finish,
    atMs: Date.parse(test.madeAt),
    id: test.id,
  };
  if (test.shoulderLogH === null || test.sigmaLogH === null) {
    const lower = (test.boundLogSeconds ?? 0) - (test.filmInTest ? 0 : test.advisedFilmDensity);
    return { ...circumstances, tablet: null, seen: { kind: "between", lower, upper: null, sigma: judgementSigma } };
  }
  const { tablet, own } = splitSigma(test, test.shoulderLogH, test.sigmaLogH);
  return { ...circumstances, tablet, seen: { kind: "measured", logSeconds: test.shoulderLogH, sigma: own } };
}

/**
 * Standard uncertainty of a test's shoulder beside what all tests of its tablet share [log10]: by it tests of one
 * tablet are held against each other. Null without a time.
 */
export function sigmaBesideTablet(test: TimedTest): number | null {
  if (test.shoulderLogH === null || test.sigmaLogH === null) return null;
  return splitSigma(test, test.shoulderLogH, test.sigmaLogH).own;
}

/** The part of a test's uncertainty that all tests of its tablet share, and the rest. */
function splitSigma(
  test: TimedTest,
  shoulderLogH: number,
  sigmaLogH: number,
): { tablet: Observation["tablet"]; own: number } {
  if (test.tabletKind === "timed" || test.exposureSeconds === null) return { tablet: null, own: sigmaLogH };
  const density = Math.max(0, Math.log10(test.exposureSeconds) - shoulderLogH);
  const usual = Math.hypot(tabletBaseSigma, tabletScaleSigma * density);
  const tablet = { id: test.tablet, sigma: test.tabletSigmaLogH ?? usual };
  // Where the fit already holds the tablet's share, it is taken out of the test's own, so that it counts once.
  const own =
    test.tabletSigmaLogH === null
      ? sigmaLogH
      : Math.sqrt(Math.max(0.1 * sigmaLogH ** 2, sigmaLogH ** 2 - test.tabletSigmaLogH ** 2));
  return { tablet, own };
}

function printObservation(
  print: JudgedPrint,
  lamp: Lamp | undefined,
  litFilm: ReturnType<typeof filmsInLight>,
): Observation | null {
  const film = litFilm(print.filmId, lamp) ?? null;
  if (lamp === undefined || isDaylight(lamp.kind)) return null;
  if (film !== null && (film.baseDensity ?? null) === null) return null;
  const time = Math.log10(print.exposureSeconds);
  const lower = { "too-light": time + rightWithinLogH, right: time - rightWithinLogH, "too-dark": null }[print.outcome];
  const upper = { "too-light": null, right: time + rightWithinLogH, "too-dark": time - rightWithinLogH }[print.outcome];
  return {
    id: `print ${print.id}`,
    lampId: print.lampId,
    supportId: print.supportId,
    coatingId: print.coatingId,
    batchId: print.batchId,
    film: filmOver(film),
    distance: null,
    lampHours: null,
    humidityPercent: null,
    finish: unknownFinish,
    atMs: Date.parse(print.createdAt),
    tablet: null,
    seen: { kind: "between", lower, upper, sigma: judgementSigma },
  };
}

/**
 * What is asked of the model: the wanted combination and batch, at its own distance and the lamp's latest hours,
 * finished like the newest test of the coating.
 */
export function circumstancesOf({
  wanted,
  tests,
  atMs,
}: Pick<ExposureInput, "wanted" | "tests" | "atMs">): Circumstances {
  const { lamp, support, coating, batch, film } = wanted;
  return {
    lampId: lamp.id,
    supportId: support.id,
    coatingId: coating.id,
    batchId: batch?.id ?? null,
    film: filmOver(film),
    distance: distanceTerm(lamp, referenceDistanceMm(lamp, tests), wanted.distanceMm),
    lampHours:
      wanted.lampHours ?? tests.find((test) => test.lampId === lamp.id && test.lampHours !== null)?.lampHours ?? null,
    humidityPercent: null,
    finish: tests.find((test) => test.coatingId === coating.id)?.finish ?? unknownFinish,
    atMs,
  };
}
