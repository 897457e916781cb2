// Curve and advice of a test with what the store knows about its materials.
import { assessTest, readviseTest } from "#shared/advice/assess-test.ts";
import type { Assessment } from "#shared/schema/curve.ts";
import type { Film } from "#shared/schema/materials.ts";
import type { Reading } from "#shared/schema/reading.ts";
import type { SavedTest, TestRequest } from "#shared/schema/test.ts";
import { assessmentInWords } from "#shared/words/tests/advice-words.ts";
import type { StoreReader } from "#src/store/store.ts";
import { checkMaterials } from "#src/studio/materials/check-materials.ts";

/**
 * @throws InputError "bad-request" for unknown materials
 */
export function assessWithMaterials(store: StoreReader, request: TestRequest, reading: Reading): Assessment {
  const film = checkMaterials(store, request);
  return assessmentInWords(assessTest({ request, reading, ...filmFacts(film) }), reading);
}

/** Advice of a saved test for its film as it now is; the curve stays as it was fitted. */
export function readviseWithFilm(film: Film, { request, reading, curve }: SavedTest): Assessment {
  const facts = { request, reading, ...filmFacts(film) };
  return assessmentInWords(curve === null ? assessTest(facts) : readviseTest({ ...facts, curve }), reading);
}

function filmFacts(film: Film | null | undefined) {
  return {
    filmDensity: film?.baseDensity ?? null,
    filmMaxDensity: film?.maxDensity ?? null,
    ...(film?.baseSigmaDensity == null ? {} : { filmSigma: film.baseSigmaDensity }),
  };
}
