// The studio's board: every combination once with its time and state, what runs now, what is due.
import { isDaylight } from "#shared/lamp/daylight.ts";
import { formatDuration } from "#shared/format/duration.ts";
import { formatDay } from "#shared/format/instant.ts";
import type { Lamp } from "#shared/schema/materials.ts";
import type { BoxCombination } from "#shared/lookup/box-combinations.ts";
import { baseTimeOf, boxRecord, type BaseTime, type BoxRecord, type NoBaseTime } from "#src/studio/lamps/box-record.ts";
import type { Tools } from "#src/studio/tools.ts";
import type { StoreReader } from "#src/store/store.ts";
import { printCard } from "#src/web/prints/view.ts";
import { sunHrefOf } from "#src/web/tests/ways.ts";
import { sparkCurve } from "./spark-curve.ts";

/** Combinations of one light on the board; the light's own page shows them all. */
const mostOfOneLight = 8;

/** How a time stands; each has its own frame, so that they differ in grey and at arm's length. */
export type BoardState = "good" | "predicted" | "overdue" | "disagree" | "no-time" | "dose";

export const stateWords: Readonly<Record<BoardState, string>> = {
  good: "tested",
  predicted: "carried over",
  overdue: "overdue: test again",
  disagree: "tests disagree: test again",
  "no-time": "no time yet",
  dose: "dose known: the hour decides",
};

export const stateTones: Readonly<Record<BoardState, "ok" | "caution">> = {
  good: "ok",
  predicted: "caution",
  overdue: "caution",
  disagree: "caution",
  "no-time": "caution",
  dose: "ok",
};

interface BoardCard {
  readonly support: string;
  /** Coating and film. */
  readonly under: string;
  readonly href: string;
  readonly state: BoardState;
  readonly stateWord: string;
  readonly tone: "ok" | "caution";
  /** Null where no time may be printed by. */
  readonly time: string | null;
  readonly range: string | null;
  readonly day: string;
  /** SVG path of the newest test's curve in a 100 by 40 box, or null. */
  readonly spark: string | null;
}

export interface BoardLight {
  readonly name: string;
  readonly href: string;
  readonly cards: readonly BoardCard[];
  readonly more: number;
}

function materialsOf(
  store: StoreReader,
  each: Pick<BoxCombination, "supportId" | "coatingId" | "filmId">,
): Pick<BoardCard, "support" | "under"> {
  const under = [
    store.coatings.find(each.coatingId)?.name,
    each.filmId === null ? "no film" : store.films.find(each.filmId)?.name,
  ];
  return {
    support: store.supports.find(each.supportId)?.name ?? "forgotten support",
    under: under.filter((name) => name !== undefined).join(" · "),
  };
}

/** By the sun a test gives a dose; the time is the day's plan. */
function sunCard({ store }: Pick<Tools, "store">, each: BoxCombination): BoardCard {
  const test = store.tests.get(each.newest.id);
  return {
    ...materialsOf(store, each),
    href: sunHrefOf(test) ?? `/tests/${test.id}`,
    state: "dose",
    stateWord: stateWords.dose,
    tone: stateTones.dose,
    time: null,
    range: null,
    day: formatDay(each.newest.madeAt),
    spark: sparkCurve(test.curve?.samples ?? []),
  };
}

function combinationCard(tools: Pick<Tools, "store">, each: BoxCombination): BoardCard {
  const { store } = tools;
  const { newest, supportId, coatingId, filmId } = each;
  const time = baseTimeOf(tools, each);
  const state = stateOf(time.source, each.retest.isOverdue);
  const query = new URLSearchParams({
    lampId: newest.lampId,
    supportId,
    coatingId,
    ...(filmId === null ? {} : { filmId }),
  });
  const told = time.source === "contradictory" ? null : time;
  return {
    ...materialsOf(store, each),
    href: time.source === "newest" ? `/tests/${newest.id}` : `/exposures?${query.toString()}`,
    state,
    stateWord: stateWords[state],
    tone: stateTones[state],
    time: told === null ? null : formatDuration(told.seconds),
    range: told === null ? null : rangeWords(told),
    day: formatDay(newest.madeAt),
    spark: sparkCurve(store.tests.find(newest.id)?.curve?.samples ?? []),
  };
}

function rangeWords({ lowerSeconds, upperSeconds }: BaseTime): string | null {
  if (lowerSeconds === null || upperSeconds === null) return null;
  return `${formatDuration(lowerSeconds)} to ${formatDuration(upperSeconds)}`;
}

function stateOf(source: (BaseTime | NoBaseTime)["source"], isOverdue: boolean): BoardState {
  if (source === "contradictory") return "disagree";
  if (isOverdue) return "overdue";
  return source === "transferred" || source === "predicted" ? "predicted" : "good";
}

/** Combinations whose tests gave no time: they wait for another test. */
function untimedCards({ store }: Pick<Tools, "store">, record: BoxRecord): BoardCard[] {
  const keyOf = (each: { supportId: string; coatingId: string; filmId: string | null }): string =>
    JSON.stringify([each.supportId, each.coatingId, each.filmId]);
  const timed = new Set(record.combinations.map(keyOf));
  const cards = new Map<string, BoardCard>();
  for (const test of store.tests.list({ lampId: record.lamp.id, limit: 200 }).tests) {
    const isTone = test.tabletKind === "levels" || test.tabletKind === "sheet";
    const key = keyOf(test);
    if (isTone || timed.has(key) || cards.has(key)) continue;
    cards.set(key, {
      ...materialsOf(store, test),
      href: `/tests/${test.id}`,
      state: "no-time",
      stateWord: stateWords["no-time"],
      tone: stateTones["no-time"],
      time: null,
      range: null,
      day: formatDay(test.madeAt),
      spark: sparkCurve(store.tests.find(test.id)?.curve?.samples ?? []),
    });
  }
  return [...cards.values()];
}

function lightOf(tools: Pick<Tools, "store">, lamp: Lamp): BoardLight[] {
  const record = boxRecord(tools, lamp.id);
  const shown = record.combinations.slice(0, mostOfOneLight);
  const isSky = isDaylight(lamp.kind);
  const cardOf = isSky ? sunCard : combinationCard;
  const cards = [...shown.map((each) => cardOf(tools, each)), ...untimedCards(tools, record)];
  if (cards.length === 0) return [];
  return [
    {
      name: lamp.name,
      href: `/studio/boxes/${lamp.id}`,
      cards: cards.slice(0, mostOfOneLight),
      more: record.combinations.length - shown.length,
    },
  ];
}

/** What the first page shows once something is saved. */
export function boardOf(tools: Pick<Tools, "store">, now: Date) {
  const { store } = tools;
  return {
    lights: store.lamps.list().flatMap((lamp) => lightOf(tools, lamp)),
    running: store.prints.list({ state: "in-work" }).prints.map((print) => printCard(store, print, now.getTime())),
  };
}
