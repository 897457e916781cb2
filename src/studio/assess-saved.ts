// Curve and advice of a test with what the store knows about its materials.
import { assessTest } from "#shared/advice/assess-test.ts";
import type { Assessment } from "#shared/schema/curve.ts";
import type { Reading } from "#shared/schema/reading.ts";
import type { TestRequest } from "#shared/schema/test.ts";
import { assessmentInWords } from "#shared/words/advice-words.ts";
import type { Store } from "#src/store/store.ts";
import { checkMaterials } from "./check-materials.ts";

/**
 * @throws InputError "bad-request" for unknown materials
 */
export function assessWithMaterials(store: Store, request: TestRequest, reading: Reading): Assessment {
  const film = checkMaterials(store, request);
  const assessment = assessTest({
    request,
    reading,
    filmDensity: film?.baseDensity ?? null,
    filmMaxDensity: film?.maxDensity ?? null,
  });
  return assessmentInWords(assessment, reading);
}
