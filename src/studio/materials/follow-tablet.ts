// Changes what is known about a tablet; every test made with it follows, so that no page keeps a time of the old
// densities.
import { isDeepStrictEqual } from "node:util";
import type { OwnTablet, TabletInput } from "#shared/schema/tablets.ts";
import type { SavedTest } from "#shared/schema/test.ts";
import { tabletForRequest } from "#shared/tablet/own-tablet.ts";
import { stepInputs } from "#shared/tablet/step-inputs.ts";
import type { TestRecord } from "#src/store/records/test-columns.ts";
import type { StoreReader } from "#src/store/store.ts";
import { refuseIfChanged } from "#src/studio/seen-version.ts";
import { assessAhead, assessWithMaterials } from "#src/studio/tests/assess-saved.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";

type InLight = ReturnType<typeof tabletForRequest>;

export interface FollowedTablet {
  readonly tablet: OwnTablet;
  /** Tests made with it that were judged anew. */
  readonly testIds: readonly string[];
}

/**
 * Replaces a tablet's record and, where its densities in the studio's light changed, has its tests follow: those that
 * carry just its densities, unless another tablet of the studio carries the same, and those named. Pictures are not
 * read anew: what was measured in them does not hang on a label.
 * @param ownTestIds saved tests that are known to be its prints
 * @throws InputError "not-found", "changed-meanwhile"
 */
export async function changeWithTests(
  tools: Pick<Tools, "store" | "assessThread">,
  id: string,
  input: TabletInput,
  ownTestIds: readonly string[] = [],
): Promise<FollowedTablet> {
  const store = forWriting(tools.store);
  const before = store.tablets.get(id);
  const is = tabletForRequest(input);
  const follow = (): readonly string[] => testsToFollow(store, before, is, ownTestIds);
  const ahead = new Map<string, { readonly version: string; readonly assessed: AssessedAhead }>();
  for (const testId of follow()) {
    const test = store.tests.get(testId);
    const { request, reading } = withTablet(recordOf(test), is);
    ahead.set(testId, { version: test.updatedAt, assessed: await assessAhead(tools, request, reading) });
  }
  return store.transaction(() => {
    refuseIfChanged(before.updatedAt, store.tablets.get(id), input);
    const tablet = store.tablets.replace(id, input);
    const testIds = follow();
    const current = new Set(testIds.filter((each) => ahead.get(each)?.version === store.tests.get(each).updatedAt));
    for (const testId of testIds) store.tests.replace(testId, withTablet(recordOf(store.tests.get(testId)), is));
    const readWith = testIds.flatMap((testId) => store.tests.findReadWith(testId) ?? []);
    for (const testId of new Set([...testIds, ...readWith])) {
      const record = recordOf(store.tests.get(testId));
      const made = current.has(testId) ? ahead.get(testId)?.assessed : undefined;
      store.tests.replace(testId, { ...record, ...assessWithMaterials(store, record.request, record.reading, made) });
    }
    return { tablet, testIds };
  });
}

type AssessedAhead = Awaited<ReturnType<typeof assessAhead>>;

function testsToFollow(
  store: StoreReader,
  before: OwnTablet,
  is: InLight,
  ownTestIds: readonly string[],
): readonly string[] {
  const was = tabletForRequest(before);
  if (isDeepStrictEqual(was, is) || was.densities.length !== is.densities.length) return [];
  const isTwin = ({ id, ...other }: OwnTablet): boolean =>
    id !== before.id && isDeepStrictEqual(tabletForRequest(other).densities, was.densities);
  const alike = store.tablets.list({ archived: true }).some(isTwin) ? [] : store.tests.listOfTablet(was.densities);
  const own = ownTestIds.filter((id) => {
    const tablet = store.tests.find(id)?.request.tablet;
    return tablet?.kind === "transmission" && stepInputs(tablet).length === is.densities.length;
  });
  return [...new Set([...alike, ...own])];
}

function withTablet(record: TestRecord, tablet: InLight): TestRecord {
  const steps = record.reading.steps.map((step, i) => ({ ...step, input: tablet.densities[i] ?? step.input }));
  return { ...record, request: { ...record.request, tablet }, reading: { ...record.reading, steps } };
}

function recordOf({ id: _id, createdAt: _createdAt, updatedAt: _updatedAt, ...record }: SavedTest): TestRecord {
  return record;
}
