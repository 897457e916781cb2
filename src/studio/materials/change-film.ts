// Changes what is known about a film; the advice of every test on it follows, so that no page keeps a time of the old
// density.
import { isDeepStrictEqual } from "node:util";
import type { Film, FilmInput } from "#shared/schema/materials.ts";
import { maxListLimit } from "#shared/schema/test.ts";
import { readviseWithFilm } from "#src/studio/tests/assess-saved.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";

/** What of a film the times depend on. */
const decidingFields = [
  "baseDensity",
  "baseSigmaDensity",
  "maxDensity",
  "inLights",
] as const satisfies readonly (keyof FilmInput)[];

/**
 * Replaces a film's record and, where its densities changed, the advice of its tests, in one transaction. No curve is
 * fitted anew.
 * @throws InputError "not-found"
 */
export function changeFilm(tools: Pick<Tools, "store">, id: string, input: FilmInput): Film {
  const store = forWriting(tools.store);
  return store.transaction(() => {
    const before = store.films.get(id);
    const film = store.films.replace(id, input);
    if (decidingFields.every((field) => isDeepStrictEqual(before[field] ?? null, film[field] ?? null))) return film;
    let after: string | undefined;
    do {
      const page = store.tests.list({ filmId: id, limit: maxListLimit, ...(after === undefined ? {} : { after }) });
      for (const { id: testId } of page.tests) {
        const { createdAt: _createdAt, updatedAt: _updatedAt, id: _id, ...test } = store.tests.get(testId);
        store.tests.replace(testId, { ...test, ...readviseWithFilm(store, film, store.tests.get(testId)) });
      }
      after = page.next ?? undefined;
    } while (after !== undefined);
    return film;
  });
}
