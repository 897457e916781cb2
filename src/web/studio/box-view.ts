// View objects of a box: its card in the studio, and its own page with the way into use and the times it gives.
import { formatDuration } from "#shared/format/duration.ts";
import { formatDay } from "#shared/format/instant.ts";
import { formatFixed, formatShare } from "#shared/format/number.ts";
import { batchesOf } from "#shared/coating/batches.ts";
import { batchName } from "#shared/words/materials/coating-words.ts";
import { bedRangeWords, zoneTimes } from "#shared/words/materials/evenness-words.ts";
import type { EvennessZone } from "#shared/schema/evenness.ts";
import { evennessMapView } from "#src/web/evenness/map-view.ts";
import { driftWords } from "#shared/words/materials/drift-words.ts";
import { burnedHours } from "#shared/prints/burned-hours.ts";
import type { BoxCombination } from "#shared/lookup/box-combinations.ts";
import { ownDepthWords } from "#shared/words/materials/lid-card-words.ts";
import { warmUpWords } from "#shared/words/materials/lamp-words.ts";
import type { StoreReader } from "#src/store/store.ts";
import { baseTimeOf, type BaseTime, type BoxRecord, type NoBaseTime } from "#src/studio/lamps/box-record.ts";
import { errorSummary, type FieldOrder } from "#src/web/parts/form-errors.ts";
import type { FieldErrors, FormValues } from "#src/web/parts/form-values.ts";
import { runSheetQuery } from "#src/web/prints/run-sheet-query.ts";
import { testCard } from "#src/web/tests/card.ts";
import { chartedTests, controlChartPlot } from "./drift-plot.ts";

const stepOrder = ["described", "evenness", "first-test", "distance"] as const;

export function boxCard(record: BoxRecord): {
  id: string;
  name: string;
  done: number;
  steps: number;
  times: number;
  alert: string | null;
} {
  const drifting = record.combinations.find((each) => each.drift?.isRetestAdvised === true);
  return {
    id: record.lamp.id,
    name: record.lamp.name,
    done: stepOrder.filter((step) => record.done[step]).length,
    steps: stepOrder.length,
    times: record.combinations.length,
    alert: drifting?.drift ? driftWords(drifting.drift) : overdueWords(record),
  };
}

function overdueWords({ combinations }: BoxRecord): string | null {
  const overdue = combinations.filter(({ retest }) => retest.isOverdue);
  const [first] = overdue;
  if (first === undefined) return null;
  const rest = overdue.length === 1 ? "One calibration is" : `${overdue.length} calibrations are`;
  return `${rest} overdue for a new test, since ${formatDay(first.retest.on)}.`;
}

function basisWords({ source, tests }: BaseTime | NoBaseTime): string {
  const count = `${tests} ${tests === 1 ? "test" : "tests"}`;
  switch (source) {
    case "newest":
      return "newest test alone";
    case "contradictory":
      return `${count} that contradict each other`;
    case "tested":
      return count;
    case "pooled":
      return `${count} taken together`;
    case "transferred":
      return `carried over from ${count}`;
    case "predicted":
      return `drawn from ${count} of other combinations`;
  }
}

function combinationView(store: StoreReader, each: BoxCombination, zones: readonly EvennessZone[]) {
  const time = baseTimeOf({ store }, each);
  const coating = store.coatings.find(each.coatingId);
  const batches = coating === undefined ? [] : batchesOf(coating);
  const batchNames = new Map(batches.map((batch) => [batch.id, batchName(batch)]));
  const materialIds = {
    lampId: each.newest.lampId,
    supportId: each.supportId,
    coatingId: each.coatingId,
    ...(each.filmId === null ? {} : { filmId: each.filmId }),
  };
  return {
    materials: [
      store.supports.find(each.supportId)?.name,
      store.coatings.find(each.coatingId)?.name,
      each.filmId === null ? "no film" : store.films.find(each.filmId)?.name,
      ...(time.source === "contradictory" ? [] : ownDepthWords(time.share)),
    ]
      .filter((name) => name !== undefined)
      .join(" · "),
    href:
      time.source === "newest"
        ? `/tests/${each.newest.id}`
        : `/exposures?${new URLSearchParams(materialIds).toString()}`,
    ...timeParts(time, materialIds),
    places: time.source === "contradictory" ? [] : zoneTimes(zones, time.seconds),
    overdue: each.retest.isOverdue,
    basis: basisWords(time),
    testId: each.newest.id,
    day: formatDay(each.newest.madeAt),
    again:
      `${formatDay(each.retest.on)}` +
      (each.retest.atLampHours === null ? "" : `, or at ${Math.round(each.retest.atLampHours)} lamp hours`),
    drift:
      each.drift === null
        ? null
        : {
            tone: each.drift.isRetestAdvised ? "caution" : "ok",
            sentence: driftWords(each.drift),
            plot: controlChartPlot(each.drift, each.apart, batchNames),
            tests: chartedTests(each.drift, each.apart, batchNames),
          },
    testQuery: new URLSearchParams(materialIds).toString(),
  };
}

/** The time and a run sheet filled with it; where tests contradict each other neither. */
function timeParts(time: BaseTime | NoBaseTime, materials: Parameters<typeof runSheetQuery>[0]) {
  if (time.source === "contradictory") return { time: "retest", range: "", printQuery: null };
  const { seconds, lowerSeconds, upperSeconds } = time;
  const isTold = lowerSeconds !== null && upperSeconds !== null;
  return {
    time: formatDuration(seconds),
    range: isTold ? `${formatDuration(lowerSeconds)} to ${formatDuration(upperSeconds)}` : "",
    printQuery: runSheetQuery(materials, time),
  };
}

/** What may have changed under this box, and what was noted. */
function changesView(store: StoreReader, { lamp, combinations }: BoxRecord) {
  const named = (kind: "supports" | "coatings", ids: readonly string[]): { id: string; name: string }[] =>
    [...new Set(ids)].map((id) => ({ id, name: store[kind].find(id)?.name ?? "forgotten" }));
  const supports = named(
    "supports",
    combinations.map(({ supportId }) => supportId),
  );
  const coatings = named(
    "coatings",
    combinations.map(({ coatingId }) => coatingId),
  );
  const choices = [
    { value: `tubes lamp ${lamp.id}`, label: "New tubes or diodes" },
    { value: `glass lamp ${lamp.id}`, label: "Glass or reflector cleaned or changed" },
    { value: `other lamp ${lamp.id}`, label: "Something else about this light" },
    ...coatings.map(({ id, name }) => ({ value: `lot coating ${id}`, label: `New bottle or batch: ${name}` })),
    ...supports.map(({ id, name }) => ({ value: `lot support ${id}`, label: `New lot: ${name}` })),
  ];
  const labels = new Map(choices.map(({ value, label }) => [value, label]));
  return {
    changeChoices: choices,
    changes: store.changes.list().flatMap(({ id, kind, scope, scopeId, at }) => {
      const label = labels.get(`${kind} ${scope} ${scopeId}`);
      return label === undefined ? [] : [{ id, label, day: formatDay(at) }];
    }),
  };
}

/** Newest tests among which the last noted hours of the lamp are looked for, and prints that are counted. */
const testsLooked = 50;
const printsCounted = 200;

/** How long the lamp burned for timed prints, and its hours by what was noted last. */
function burnedView(
  store: StoreReader,
  lampId: string,
): { hours: string; since: string | null; now: string | null } | null {
  const noted = store.tests
    .list({ lampId, limit: testsLooked })
    .tests.map(({ id, madeAt }) => ({ madeAt, hours: store.tests.get(id).request.lampHours ?? null }))
    .find(({ hours }) => hours !== null);
  const burned = burnedHours(store.prints.list({ lampId, limit: printsCounted }).prints, noted?.madeAt);
  if (burned === 0) return null;
  return {
    hours: formatFixed(burned, 1),
    since: noted === undefined ? null : formatDay(noted.madeAt),
    now: noted === undefined ? null : formatFixed((noted.hours ?? 0) + burned, 0),
  };
}

interface BoxParts {
  /** The server's address when only this machine can open it. */
  readonly localAddress: string | null;
  /** What was typed, when something was wrong with it; absent shows the box as it is kept. */
  readonly values?: FormValues;
  readonly errors?: FieldErrors;
}

const fieldOrder: FieldOrder = [
  ["change", "change-what"],
  ["at", "change-at"],
  ["kind", "box-kind"],
  ["widthMm", "box-width"],
  ["heightMm", "box-height"],
  ["distanceMm", "box-distance"],
  ["notes", "box-notes"],
];

export function boxView(store: StoreReader, record: BoxRecord, { localAddress, values, errors = {} }: BoxParts) {
  const { lamp } = record;
  const mapId = lamp.evenness?.mapId ?? null;
  const map = mapId === null ? undefined : store.evennessMaps.find(mapId);
  return {
    id: lamp.id,
    localAddress,
    lamp: { distanceVaries: lamp.distanceVaries ?? null },
    values: {
      kind: lamp.kind,
      widthMm: lamp.widthMm ?? "",
      heightMm: lamp.heightMm ?? "",
      distanceMm: lamp.distanceMm ?? "",
      notes: lamp.notes,
      ...values,
    },
    errors,
    summary: errorSummary(errors, fieldOrder),
    kinds: [
      ["tubes", "bank of tubes"],
      ["led", "field of diodes"],
      ["panel", "even panel"],
      ["point", "single small lamp"],
      ["other", "something else"],
    ].map(([value, label]) => ({ value, label })),
    burned: burnedView(store, lamp.id),
    warmUp: warmUpWords[lamp.kind] ?? null,
    done: record.done,
    next: stepOrder.find((step) => !record.done[step]) ?? "card",
    evenness: lamp.evenness
      ? {
          day: formatDay(lamp.evenness.madeAt),
          range: bedRangeWords(lamp.evenness.rangeStops, map),
          share: formatShare(lamp.evenness.evenShare),
          map: map === undefined ? null : evennessMapView(store, map, lamp.id),
        }
      : null,
    newest: record.newestTest === null ? null : testCard(store, record.newestTest),
    combinations: record.combinations.map((each) => combinationView(store, each, map?.zones ?? [])),
    ...changesView(store, record),
  };
}
