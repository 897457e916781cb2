// Batches of a coating: mixing one, and pouring out what is left of it.
import { batchesOf } from "#shared/coating/batches.ts";
import { batchInputSchema, coatingInputSchema, type Batch, type Coating } from "#shared/schema/materials.ts";
import { newId } from "#src/store/ids.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";

/**
 * Adds a batch to a coating's list. What the coating's own record says of lot and bottles is then of this one, the
 * newest.
 * @throws InputError "not-found"
 * @throws ZodError when the input is no batch
 */
export function addBatch({ store }: Pick<Tools, "store">, coatingId: string, input: unknown): Batch {
  const { coatings } = forWriting(store);
  const coating = coatings.get(coatingId);
  const batch = { ...batchInputSchema.parse(input), id: newId() };
  const batches = [batch, ...batchesOf(coating)];
  coatings.replace(coatingId, { ...coating, batches, ...ofNewest({ ...coating, batches }) });
  return batch;
}

/**
 * Says that a batch is used up, or that there is some left after all.
 * @throws InputError "not-found"
 */
export function useUpBatch(
  { store }: Pick<Tools, "store">,
  { coatingId, batchId, isUsedUp }: { coatingId: string; batchId: string; isUsedUp: boolean },
): Coating {
  const { coatings } = forWriting(store);
  const coating = coatings.get(coatingId);
  const batches = batchesOf(coating).map((each) => (each.id === batchId ? { ...each, isUsedUp } : each));
  return coatings.replace(coatingId, { ...coating, batches });
}

/**
 * Changes the named fields of a coating; what they say of its newest batch is kept with that batch too.
 * @throws InputError "not-found"
 * @throws ZodError when the changed whole is no coating
 */
export function changeCoating(
  { store }: Pick<Tools, "store">,
  id: string,
  changes: Readonly<Record<string, unknown>>,
): Coating {
  const { coatings } = forWriting(store);
  const before = coatings.get(id);
  const changed = coatingInputSchema.parse({ ...before, ...changes });
  const [newest, ...older] = before.batches == null ? [] : batchesOf(before);
  if (newest === undefined) return coatings.replace(id, changed);
  const { mixedAt, lot, grade, stockIds } = changed;
  const batch = {
    ...newest,
    madeOn: (mixedAt ?? newest.madeOn).slice(0, 10),
    lot: lot ?? "",
    grade: grade ?? "",
    stockIds: stockIds ?? [],
  };
  return coatings.replace(id, { ...changed, batches: [batch, ...older] });
}

/** What the coating's own record says of its newest batch. */
function ofNewest(coating: Coating): Pick<Coating, "mixedAt" | "lot" | "grade" | "stockIds"> {
  const [newest] = batchesOf(coating);
  if (newest === undefined) return {};
  const { madeOn, lot, grade, stockIds } = newest;
  return { mixedAt: madeOn, lot: lot || null, grade: grade || null, stockIds };
}
