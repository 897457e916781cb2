// A saved test as lists and headings name it.
import { aboutTime } from "#shared/format/about-time.ts";
import { formatDuration } from "#shared/format/duration.ts";
import { formatDay } from "#shared/format/instant.ts";
import type { TestFilter, TestSummary } from "#shared/schema/test.ts";
import type { StoreReader } from "#src/store/store.ts";
import { materialsText } from "#src/web/parts/materials-text.ts";
import { titleBesideDay } from "./title.ts";
import { verdictWords, type VerdictWords } from "#shared/words/tests/verdict-words.ts";

/** One test as a card of a list. */
export interface TestCard {
  readonly id: string;
  readonly title: string;
  readonly materials: string;
  readonly day: string;
  readonly invented: boolean;
  readonly pictureId: string;
  readonly time: string | null;
  readonly range: string | null;
  readonly verdict: VerdictWords;
  readonly isToneCurve: boolean;
  /** Somebody left it out of the times. */
  readonly isLeftOut: boolean;
}

export function testCard(store: StoreReader, test: TestSummary): TestCard {
  const { lowerSeconds, upperSeconds, verdict } = test.exposure;
  return {
    id: test.id,
    title: titleBesideDay(store, test),
    materials: test.name === "" ? "" : materialsText(store, test),
    day: formatDay(test.madeAt),
    invented: test.invented,
    pictureId: test.pictureId,
    time: timeOf(test),
    range:
      lowerSeconds === null || upperSeconds === null
        ? null
        : `${formatDuration(lowerSeconds)} to ${formatDuration(upperSeconds)}`,
    verdict: verdictWords[verdict],
    isToneCurve: test.tabletKind === "levels" || test.tabletKind === "sheet",
    isLeftOut: store.changes.leftOut().has(test.id),
  };
}

/** No finer than its range allows, where the test cannot be relied on. */
function timeOf({ exposure: { seconds, lowerSeconds, upperSeconds, verdict } }: TestSummary): string | null {
  if (seconds === null) return null;
  if (verdict !== "unreliable" || lowerSeconds === null || upperSeconds === null) return formatDuration(seconds);
  return `about ${aboutTime(seconds, { lowerSeconds, upperSeconds })}`;
}

/** Most tests offered by a page that asks for one. */
export const offeredTests = 60;

/** Whether the test came to a curve. */
export const hasCurve = ({ dMax }: TestSummary): boolean => dMax !== null;

/** Whether the test was made for its time, not for the tones of a negative. */
export const isForTime = ({ tabletKind }: TestSummary): boolean => tabletKind !== "levels" && tabletKind !== "sheet";

/** Cards of the newest tests that a filter lets through and that are `wanted`, at most `limit` of them. */
export function newestCards(
  store: StoreReader,
  filter: Partial<TestFilter> & { readonly limit: number },
  isWanted: (test: TestSummary) => boolean = () => true,
): TestCard[] {
  const wanted: TestSummary[] = [];
  let after = filter.after;
  do {
    const { tests, next } = store.tests.list({ ...filter, ...(after === undefined ? {} : { after }) });
    wanted.push(...tests.filter(isWanted));
    after = next ?? undefined;
  } while (after !== undefined && wanted.length < filter.limit);
  return wanted.slice(0, filter.limit).map((test) => testCard(store, test));
}

/** Summaries of saved tests, those that are gone left out. */
export function cardsOf(store: StoreReader, testIds: readonly string[]): TestCard[] {
  return testIds.flatMap((id) => {
    const test = store.tests.find(id);
    if (test === undefined) return [];
    const { request, exposure } = test;
    return [
      testCard(store, {
        ...test,
        madeAt: request.madeAt ?? test.createdAt,
        name: request.name,
        lampId: request.lampId,
        supportId: request.supportId,
        coatingId: request.coatingId,
        filmId: request.filmId ?? null,
        tabletKind: request.tablet.kind,
        channel: request.channel,
        exposureSeconds: request.exposureSeconds ?? null,
        exposure,
        dMax: test.curve?.dMax ?? null,
        logExposureRange: test.curve?.logExposureRange ?? null,
      }),
    ];
  });
}
