// Curve and advice of a test with what the store knows about its materials.
import { filmInLight } from "#shared/film/film-in-light.ts";
import { assessTest, readviseTest, type AssessTestInput } from "#shared/advice/assess-test.ts";
import type { Assessment } from "#shared/schema/curve.ts";
import type { Film } from "#shared/schema/materials.ts";
import type { Reading } from "#shared/schema/reading.ts";
import type { SavedTest, TestRequest } from "#shared/schema/test.ts";
import { assessmentInWords } from "#shared/words/tests/advice-words.ts";
import { errorInWords } from "#shared/words/trouble-words.ts";
import type { StoreReader } from "#src/store/store.ts";
import { checkMaterials } from "#src/studio/materials/check-materials.ts";
import type { Tools } from "#src/studio/tools.ts";

/** An assessment, and everything that it was made of. */
interface AssessedAhead {
  readonly made: Assessment;
  readonly of: string;
}

/**
 * Assesses a test in the thread that is there for it, before the transaction that saves it. Without a thread that is
 * left to `assessWithMaterials`.
 * @throws InputError whatever stops the work
 */
export async function assessAhead(
  { store, assessThread }: Pick<Tools, "store" | "assessThread">,
  request: TestRequest,
  reading: Reading,
): Promise<AssessedAhead | undefined> {
  if (assessThread === undefined) return undefined;
  const film = request.filmId == null ? null : (store.films.find(request.filmId) ?? null);
  const input = { request, reading, ...filmFacts(store, film, request.lampId), ...sheetFacts(store, request) };
  try {
    return { made: assessmentInWords(await assessThread.assess(input), reading), of: sumOf(input) };
  } catch (error) {
    throw errorInWords(error);
  }
}

/**
 * @param ahead what was assessed before; it counts where nothing has changed meanwhile
 * @throws InputError "bad-request" for unknown materials
 */
export function assessWithMaterials(
  store: StoreReader,
  request: TestRequest,
  reading: Reading,
  ahead?: AssessedAhead,
): Assessment {
  const film = checkMaterials(store, request);
  const input = { request, reading, ...filmFacts(store, film, request.lampId), ...sheetFacts(store, request) };
  return ahead?.of === sumOf(input) ? ahead.made : assessmentInWords(assessTest(input), reading);
}

/** Advice of a saved test for its film as it now is; the curve stays as it was fitted. */
export function readviseWithFilm(store: StoreReader, film: Film, { request, reading, curve }: SavedTest): Assessment {
  const facts = { request, reading, ...filmFacts(store, film, request.lampId) };
  return assessmentInWords(curve === null ? assessTest(facts) : readviseTest({ ...facts, curve }), reading);
}

/** The same for the same input; the reading is the same object throughout an act and is not compared. */
function sumOf({ reading: _reading, ...rest }: AssessTestInput): string {
  return JSON.stringify(rest);
}

/** What other strips tell of the sheet's coating: the one that lay head to tail with it, and earlier sheets. */
function sheetFacts(store: StoreReader, request: TestRequest): Pick<AssessTestInput, "turnedSteps" | "earlierSlopes"> {
  const turned = request.headToTailTestId == null ? undefined : store.tests.find(request.headToTailTestId);
  return {
    ...(turned === undefined ? {} : { turnedSteps: turned.reading.steps }),
    earlierSlopes: store.tests.listSlopes(request.coatingId, turned?.id ?? null),
  };
}

/** What is known of the film in the light of the test. */
function filmFacts(store: StoreReader, film: Film | null, lampId: string) {
  const lamp = store.lamps.find(lampId);
  if (film === null || lamp === undefined) return { filmDensity: null, filmMaxDensity: null };
  const { baseDensity, baseSigmaDensity, maxDensity } = filmInLight(film, lamp, store.lamps.list({ archived: true }));
  return {
    filmDensity: baseDensity ?? null,
    filmMaxDensity: maxDensity ?? null,
    ...(baseDensity == null || baseSigmaDensity == null ? {} : { filmSigma: baseSigmaDensity }),
  };
}
