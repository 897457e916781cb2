// What a half-transparent thing holds back, and how long it wants: read from the step of a tablet that its image
// matches.
import { densityAt } from "#shared/curve/curve-at.ts";
import { filmInLight } from "#shared/film/film-in-light.ts";
import { objectDensity } from "#shared/film/object-density.ts";
import type { PhotogramAnswer } from "#shared/schema/photogram.ts";
import type { SavedTest } from "#shared/schema/test.ts";
import { countedDose } from "#shared/sun/frames/counted-dose.ts";
import { sceneFrom } from "#shared/sun/sky/scene.ts";
import { refusal } from "#shared/words/refusal-words.ts";
import type { Tools } from "#src/studio/tools.ts";

export interface PhotogramWish {
  readonly testId: string;
  /** Step of the test's tablet that is as blue as the thing's image, from 1. */
  readonly step: number;
  /** Time that the thing was exposed [s]. */
  readonly exposureSeconds: number;
  /** When its exposure began; needed where the test was made in the sun. */
  readonly startedAt?: string | undefined;
}

/** Why a photogram says nothing. */
export type PhotogramTrouble = "incomplete" | "start-missing" | "no-light" | "too-pale-or-too-deep";

/**
 * Reads a photogram. In the sun the thing's exposure is carried to the light of the test by its dose, since no two
 * hours are alike.
 * @throws InputError "not-found" for an unknown test
 */
export function readPhotogram(
  { store }: Pick<Tools, "store">,
  wish: PhotogramWish,
): PhotogramAnswer | PhotogramTrouble {
  const test = store.tests.get(wish.testId);
  const steps = test.curve?.steps ?? [];
  const place = steps.findIndex(({ index }) => index === wish.step);
  const step = steps[place];
  if (step === undefined) return "incomplete";
  const neighbours = [steps[place - 1], steps[place + 1]].flatMap((each) => (each === undefined ? [] : [each.logH]));
  const halfStep = Math.max(0, ...neighbours.map((logH) => Math.abs(logH - step.logH))) / 2;
  const { exposureSeconds, startedAt } = wish;
  const matched = { printDensity: step.density, lowerLogH: halfStep, upperLogH: halfStep };
  return photogramAt({ store }, test, { exposureSeconds, startedAt, ...matched });
}

/** The tone of a thing's image on the curve of its test: its density there, or its log exposure, with half-ranges. */
type MatchedTone = ({ readonly printDensity: number } | { readonly logH: number }) & {
  readonly lowerLogH: number;
  readonly upperLogH: number;
};

/** What a thing holds back whose image has a tone of the test's curve. */
export function photogramAt(
  { store }: Pick<Tools, "store">,
  test: SavedTest,
  { exposureSeconds, startedAt, ...tone }: Pick<PhotogramWish, "exposureSeconds" | "startedAt"> & MatchedTone,
): PhotogramAnswer | PhotogramTrouble {
  const { curve } = test;
  if (curve === null || !(exposureSeconds > 0)) return "incomplete";
  const sun = sunOf(test);
  if (sun !== null && startedAt === undefined) return "start-missing";
  const ownSeconds = sun === null ? exposureSeconds : sun.secondsLike(startedAt ?? "", exposureSeconds);
  if (!(ownSeconds > 0)) return "no-light";
  const found = objectDensity({
    curve,
    exposureSeconds: ownSeconds,
    printDensity: "logH" in tone ? densityAt(curve, tone.logH) : tone.printDensity,
    filmDensity: filmOver(store, test),
  });
  if (found === null) return "too-pale-or-too-deep";
  const { midSeconds } = found;
  return {
    density: found.density,
    stops: found.stops,
    mid:
      midSeconds === null
        ? null
        : {
            seconds: midSeconds,
            // A tone that got more light means a thing that holds back less.
            lowerSeconds: midSeconds * 10 ** -tone.upperLogH,
            upperSeconds: midSeconds * 10 ** tone.lowerLogH,
          },
    shoulderSeconds: found.shoulderSeconds,
    midDose: sun === null || midSeconds === null ? null : sun.doseOf(midSeconds),
  };
}

/** Density of the film that lay over a test's tablet; 0 without one. */
function filmOver(store: Tools["store"], { request }: SavedTest): number {
  if (!request.filmInTest || request.filmId == null) return 0;
  const [film, lamp] = [store.films.find(request.filmId), store.lamps.find(request.lampId)];
  if (film === undefined || lamp === undefined) return 0;
  return filmInLight(film, lamp, store.lamps.list({ archived: true })).baseDensity ?? 0;
}

interface TestSun {
  /** Seconds under the test's own sun that give what an exposure at another time gave [s]. */
  readonly secondsLike: (startedAt: string, exposureSeconds: number) => number;
  /** Dose of some seconds under the test's own sun [action-weighted J/m²]. */
  readonly doseOf: (seconds: number) => number;
}

/** The sun of a test; null for a test under a lamp. */
function sunOf({ request }: SavedTest): TestSun | null {
  const { sun, tablet } = request;
  const seconds = tablet.kind === "timed" ? Math.max(...tablet.seconds) : request.exposureSeconds;
  if (sun === undefined || sun === null || seconds === undefined) return null;
  const scene = sceneFrom({ ...sun, sky: sun.sky ?? "clear" });
  const doseFrom = (startMs: number, lastingSeconds: number): number =>
    countedDose(scene, { startMs, endMs: startMs + lastingSeconds * 1000 }).likely;
  const perSecond = doseFrom(Date.parse(sun.startedAt), seconds) / seconds;
  if (!(perSecond > 0)) throw refusal("bad-request", { code: "photogram-test-in-dark" }, { field: "testId" });
  return {
    secondsLike: (startedAt, lasting) => doseFrom(Date.parse(startedAt), lasting) / perSecond,
    doseOf: (lasting) => perSecond * lasting,
  };
}
