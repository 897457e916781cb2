import { filmInLight } from "#shared/film/film-in-light.ts";
import { compareTests } from "#shared/lookup/compare-tests.ts";
import type { Comparison, ComparisonRequest } from "#shared/schema/comparisons.ts";
import { pairInWords } from "#shared/words/tests/comparison-words.ts";
import { refusal } from "#shared/words/refusal-words.ts";
import { pooledTime } from "./pooled-time.ts";
import { printSpreadOf } from "./studio-model.ts";
import type { Tools } from "./tools.ts";

/**
 * Compares saved tests pairwise.
 *
 * @throws InputError "bad-request" for a test that is not there
 */
export function compareSavedTests({ store }: Pick<Tools, "store">, { testIds }: ComparisonRequest): Comparison {
  const lamps = store.lamps.list({ archived: true });
  const tests = testIds.map((id) => {
    const test = store.tests.find(id);
    if (test === undefined) throw refusal("bad-request", { code: "no-such-test", id }, { field: "testIds" });
    const { request } = test;
    const [lamp, support, coating] = [
      store.lamps.get(request.lampId),
      store.supports.get(request.supportId),
      store.coatings.get(request.coatingId),
    ];
    const film = request.filmId == null ? null : filmInLight(store.films.get(request.filmId), lamp, lamps);
    return {
      id,
      name: request.name,
      lamp: { id: lamp.id, name: lamp.name },
      support: { id: support.id, name: support.name },
      coating: { id: coating.id, name: coating.name },
      film:
        film === null
          ? null
          : {
              id: film.id,
              name: film.name,
              baseDensity: film.baseDensity ?? null,
              baseSigmaDensity: film.baseSigmaDensity ?? 0,
            },
      channel: request.channel,
      filmInTest: request.filmInTest || request.tablet.kind === "levels" || request.tablet.kind === "sheet",
      madeAt: request.madeAt ?? request.sun?.startedAt ?? test.createdAt,
      isUnderSun: request.sun !== undefined && request.sun !== null,
      hasTime: test.exposure.seconds !== null,
      curve: test.curve,
      printSpread: printSpreadOf(store, request.channel),
    };
  });
  const { tests: compared, pairs } = compareTests(tests);
  const testOf = new Map(tests.map((test) => [test.id, test]));
  return {
    tests: compared,
    pairs: pairs.map((pair) => {
      const [first, second] = [testOf.get(pair.firstId)!, testOf.get(pair.secondId)!];
      return pairInWords(pair, first, second, pooledTime(store, first, second));
    }),
  };
}
