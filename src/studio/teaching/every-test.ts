// All tests and prints of a stretch of time, page by page, for tables and logs.
import type { SavedPrint } from "#shared/schema/prints.ts";
import type { TestSummary } from "#shared/schema/test.ts";
import type { Tools } from "#src/studio/tools.ts";

const pageSize = 500;

/** Summaries of all tests, newest first; of some days only where these are given. */
export function everyTest(
  { store }: Pick<Tools, "store">,
  days: { readonly from?: string; readonly to?: string } = {},
): TestSummary[] {
  const found: TestSummary[] = [];
  for (let after: string | null = ""; after !== null;) {
    const page: { tests: TestSummary[]; next: string | null } = store.tests.list({
      ...days,
      limit: pageSize,
      ...(after === "" ? {} : { after }),
    });
    found.push(...page.tests);
    after = page.next;
  }
  return found;
}

/** All prints, newest first. */
export function everyPrint({ store }: Pick<Tools, "store">): SavedPrint[] {
  const found: SavedPrint[] = [];
  for (let after: string | null = ""; after !== null;) {
    const page: { prints: SavedPrint[]; next: string | null } = store.prints.list({
      limit: pageSize,
      ...(after === "" ? {} : { after }),
    });
    found.push(...page.prints);
    after = page.next;
  }
  return found;
}
