// The batches of a coating on its page: what is there, and a form for the next mixing.
import { batchesOf, batchKeepsUntil } from "#shared/coating/batches.ts";
import { formatDay } from "#shared/format/instant.ts";
import type { Coating } from "#shared/schema/materials.ts";
import type { StoreReader } from "#src/store/store.ts";
import type { FieldOrder, FormWords } from "#src/web/parts/form-errors.ts";
import { isTicked, numberOf, textOf, type FormValues } from "#src/web/parts/form-values.ts";

interface BatchRow {
  readonly id: string;
  readonly day: string;
  /** "lot 7 · from Iron A, Ferri B · by Ana"; empty where nothing is noted. */
  readonly about: string;
  readonly keeps: string;
  readonly isPastKeeping: boolean;
  readonly isUsedUp: boolean;
  readonly tests: number;
}

/** @param today year-month-day */
export function batchRows(store: StoreReader, coating: Coating, today: string): BatchRow[] {
  const counts = new Map<string, number>();
  for (const { coatingId, batchId } of store.tests.listTimed("red"))
    if (coatingId === coating.id && batchId !== null) counts.set(batchId, (counts.get(batchId) ?? 0) + 1);
  return batchesOf(coating).map((batch) => {
    const until = batchKeepsUntil(batch);
    const bottles = batch.stockIds.flatMap((id) => store.stocks.find(id)?.name ?? []);
    return {
      id: batch.id,
      day: formatDay(batch.madeOn),
      about: [
        batch.lot === "" ? "" : `lot ${batch.lot}`,
        batch.grade,
        bottles.length === 0 ? "" : `from ${bottles.join(", ")}`,
        batch.by === "" ? "" : `by ${batch.by}`,
        batch.notes,
      ]
        .filter((text) => text !== "")
        .join(" · "),
      keeps: until === null ? "" : `keeps until ${formatDay(until)}`,
      isPastKeeping: until !== null && until < today,
      isUsedUp: batch.isUsedUp,
      tests: counts.get(batch.id) ?? 0,
    };
  });
}

/** The batch that a form tells of, not yet checked by its schema. */
export function batchFrom(store: StoreReader, values: FormValues): Record<string, unknown> {
  return {
    madeOn: textOf(values, "batchMadeOn"),
    lot: textOf(values, "batchLot"),
    grade: textOf(values, "batchGrade"),
    by: textOf(values, "batchBy"),
    keepsDays: numberOf(values, "batchKeepsDays") ?? null,
    notes: textOf(values, "batchNotes"),
    stockIds: store.stocks
      .list()
      .map(({ id }) => id)
      .filter((id) => isTicked(values, `batch-stock-${id}`)),
  };
}

/** How the form names what the batch's schema names. */
export const batchWords: FormWords = {
  field: "batchMadeOn",
  names: [
    [/^madeOn/, "batchMadeOn"],
    [/^lot/, "batchLot"],
    [/^grade/, "batchGrade"],
    [/^by/, "batchBy"],
    [/^keepsDays/, "batchKeepsDays"],
    [/^notes/, "batchNotes"],
  ],
  labels: {
    batchMadeOn: "The day of mixing",
    batchLot: "The lot",
    batchGrade: "The grade",
    batchBy: "Who mixed it",
    batchKeepsDays: "How long it keeps",
    batchNotes: "The note",
  },
};
export const batchOrder: FieldOrder = [
  ["batchMadeOn", "new-batch-day"],
  ["batchLot", "new-batch-lot"],
  ["batchGrade", "new-batch-grade"],
  ["batchBy", "new-batch-by"],
  ["batchKeepsDays", "new-batch-keeps"],
  ["batchNotes", "new-batch-notes"],
];
