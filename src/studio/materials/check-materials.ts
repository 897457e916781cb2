import { isBatchOf } from "#shared/coating/batches.ts";
import type { InputError } from "#shared/errors.ts";
import type { Film } from "#shared/schema/materials.ts";
import type { TestMetadata } from "#shared/schema/test.ts";
import { refusal, type Ingredient } from "#shared/words/refusal-words.ts";
import type { StoreReader } from "#src/store/store.ts";

/**
 * Looks up the film of a test and sees that everything it names is there.
 *
 * @returns the film, or null when the test names none
 * @throws InputError "bad-request" that names the field
 */
export function checkMaterials(
  store: StoreReader,
  request: Pick<TestMetadata, "lampId" | "supportId" | "coatingId" | "filmId" | "batchId">,
): Film | null {
  const unknown = (field: string, what: Ingredient, id: string): InputError =>
    refusal("bad-request", { code: "no-such-ingredient", what, id }, { field });
  if (store.lamps.find(request.lampId) === undefined) throw unknown("lampId", "lamp", request.lampId);
  if (store.supports.find(request.supportId) === undefined) throw unknown("supportId", "support", request.supportId);
  const coating = store.coatings.find(request.coatingId);
  if (coating === undefined) throw unknown("coatingId", "coating", request.coatingId);
  const { batchId } = request;
  if (batchId != null && !isBatchOf(coating, batchId)) throw unknown("batchId", "batch", batchId);
  if (request.filmId === undefined || request.filmId === null) return null;
  const film = store.films.find(request.filmId);
  if (film === undefined) throw unknown("filmId", "film", request.filmId);
  return film;
}
