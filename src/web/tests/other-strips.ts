// Two strips of one sheet, head to tail: which tests the form offers for that, and how a page names the other one.
import { formatDay } from "#shared/format/instant.ts";
import type { SavedTest } from "#shared/schema/test.ts";
import type { StoreReader } from "#src/store/store.ts";
import type { Choice } from "#src/web/parts/field-view.ts";
import { testTitle, titleBesideDay } from "./title.ts";

/** Newest tests offered: the other strip was made the same day. */
const newestOffered = 12;

/** Newest tests of a film tablet or a timed strip, and the one that is chosen. */
export function otherStrips(store: StoreReader, itself?: SavedTest): Choice[] {
  const offered = store.tests
    .list({ limit: newestOffered })
    .tests.filter(
      ({ id, tabletKind }) => id !== itself?.id && (tabletKind === "transmission" || tabletKind === "timed"),
    )
    .map((test) => ({ value: test.id, label: `${titleBesideDay(store, test)}, ${formatDay(test.madeAt)}` }));
  const chosen = itself?.request.headToTailTestId ?? null;
  if (chosen === null || offered.some(({ value }) => value === chosen)) return offered;
  const test = store.tests.find(chosen);
  return test === undefined ? offered : [{ value: chosen, label: testTitle(store, test) }, ...offered];
}

/** The other test of the same sheet, for a link; null where this one stands alone. */
export function readWith(store: StoreReader, { id, request }: SavedTest): { href: string; words: string } | null {
  const own = request.headToTailTestId ?? null;
  const other = store.tests.find(own ?? store.tests.findReadWith(id) ?? "");
  if (other === undefined) return null;
  return {
    href: `/tests/${other.id}`,
    words:
      own === null
        ? "This strip is read together with one that lay the other way round on the same sheet. The time of both:"
        : "Read together with the strip that lay the other way round on the same sheet:",
  };
}
