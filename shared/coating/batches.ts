// Batches of a coating: the recipe is mixed again and again, and each mixing may be a little faster or slower.
import type { Batch, Coating } from "#shared/schema/materials.ts";

/** Begins the id of the batch that a coating's own record tells of, where it keeps no list; its day follows. */
const dayIdStart = "mixed-";

/** Whether an id is that of a batch of a coating; one known by its day alone need not be on its list. */
export function isBatchOf(coating: Coating, batchId: string): boolean {
  return batchId.startsWith(dayIdStart) || batchesOf(coating).some(({ id }) => id === batchId);
}

/**
 * Batches of a coating, newest first. A coating without a list that says when it was mixed has that one batch.
 */
export function batchesOf({ batches, mixedAt, lot, grade, stockIds, createdAt }: Coating): readonly Batch[] {
  if (batches != null && batches.length > 0)
    return [...batches].sort((a, b) => b.madeOn.localeCompare(a.madeOn) || (a.id < b.id ? 1 : -1));
  if (!mixedAt && !lot) return [];
  const madeOn = (mixedAt ?? createdAt).slice(0, 10);
  return [
    {
      id: `${dayIdStart}${madeOn}`,
      madeOn,
      lot: lot ?? "",
      grade: grade ?? "",
      stockIds: [...(stockIds ?? [])],
      by: "",
      keepsDays: null,
      notes: "",
      isUsedUp: false,
    },
  ];
}

/** The batch that is poured from: the newest that is not used up; null without one. */
export function batchInUse(coating: Coating): Batch | null {
  return batchesOf(coating).find(({ isUsedUp }) => !isUsedUp) ?? null;
}

/** Day after which a batch should not be poured, year-month-day; null where nobody said. */
export function batchKeepsUntil({ madeOn, keepsDays }: Pick<Batch, "madeOn" | "keepsDays">): string | null {
  if (keepsDays == null) return null;
  return new Date(Date.parse(`${madeOn}T00:00:00Z`) + keepsDays * 86_400_000).toISOString().slice(0, 10);
}
