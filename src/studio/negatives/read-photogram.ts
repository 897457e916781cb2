// What a half-transparent thing holds back, and how long it wants: read from the step of a tablet that its image
// matches.
import { filmInLight } from "#shared/film/film-in-light.ts";
import { objectDensity } from "#shared/film/object-density.ts";
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

export interface PhotogramAnswer {
  readonly density: number;
  readonly stops: number;
  /**
   * Time of a middle blue under the thing, with the range of a match to the nearest step [s]; in the test's own light.
   */
  readonly mid: { readonly seconds: number; readonly lowerSeconds: number; readonly upperSeconds: number } | null;
  /** Time of the deepest blue under it, at which its drawing is lost [s]. */
  readonly shoulderSeconds: number | null;
  /**
   * For a test in the sun: the model's dose of that middle blue [action-weighted J/m²], for a plan of any day and hour.
   */
  readonly midDose: number | null;
}

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
  if (test.curve === null || step === undefined || !(wish.exposureSeconds > 0)) return "incomplete";
  const sun = sunOf(test);
  if (sun !== null && wish.startedAt === undefined) return "start-missing";
  const ownSeconds = sun === null ? wish.exposureSeconds : sun.secondsLike(wish.startedAt ?? "", wish.exposureSeconds);
  if (!(ownSeconds > 0)) return "no-light";
  const found = objectDensity({
    curve: test.curve,
    exposureSeconds: ownSeconds,
    printDensity: step.density,
    filmDensity: filmOver(store, test),
  });
  if (found === null) return "too-pale-or-too-deep";
  const neighbours = [steps[place - 1], steps[place + 1]].flatMap((each) => (each === undefined ? [] : [each.logH]));
  const halfStep = Math.max(0, ...neighbours.map((logH) => Math.abs(logH - step.logH))) / 2;
  const { midSeconds } = found;
  return {
    density: found.density,
    stops: found.stops,
    mid:
      midSeconds === null
        ? null
        : {
            seconds: midSeconds,
            lowerSeconds: midSeconds * 10 ** -halfStep,
            upperSeconds: midSeconds * 10 ** halfStep,
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
