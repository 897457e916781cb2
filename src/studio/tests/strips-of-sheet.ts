// Two strips of one sheet, head to tail: which tests can be read together.
import type { TestRequest } from "#shared/schema/test.ts";
import { refusal } from "#shared/words/refusal-words.ts";
import type { StoreReader } from "#src/store/store.ts";

/** Exposures of one sheet are one: times further apart than this were not [share]. */
const sameTimeShare = 0.01;
const sameFields = ["lampId", "supportId", "coatingId", "filmId", "filmInTest", "channel"] as const;

/**
 * Sees that the test which a request names as lying head to tail with it is there and is of the same tablet, materials
 * and exposure; a request that names none is fine.
 * @param id of the test itself, where it is saved already
 * @throws InputError "bad-request" that names the field
 */
export function checkHeadToTail(store: Pick<StoreReader, "tests">, request: TestRequest, id?: string): void {
  const otherId = request.headToTailTestId ?? null;
  if (otherId === null) return;
  const other = store.tests.find(otherId);
  const field = "headToTailTestId";
  if (other === undefined) throw refusal("bad-request", { code: "no-such-test", id: otherId }, { field });
  if (otherId === id || (other.request.headToTailTestId ?? null) !== null || !isOfSameSheet(other.request, request))
    throw refusal("bad-request", { code: "not-head-to-tail" }, { field });
}

function isOfSameSheet(one: TestRequest, other: TestRequest): boolean {
  const isFilm = one.tablet.kind === "transmission";
  const seconds = [one.exposureSeconds ?? 1, other.exposureSeconds ?? 1] as const;
  return (
    (isFilm || one.tablet.kind === "timed") &&
    JSON.stringify(one.tablet) === JSON.stringify(other.tablet) &&
    sameFields.every((field) => (one[field] ?? null) === (other[field] ?? null)) &&
    Math.abs(seconds[0] / seconds[1] - 1) <= sameTimeShare
  );
}
