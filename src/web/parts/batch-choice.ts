// Choosing a batch of a coating in one list of all coatings' batches, so that it works without script.
import { batchesOf, batchInUse } from "#shared/coating/batches.ts";
import { batchKeepingWarnings } from "#shared/coating/keeping.ts";
import type { Batch } from "#shared/schema/materials.ts";
import { batchName, keepingWarningWords } from "#shared/words/materials/coating-words.ts";
import type { StoreReader } from "#src/store/store.ts";
import type { Choice } from "./field-view.ts";
import { textOf, type FormValues } from "./form-values.ts";

/** Chosen where nobody knows of which batch it was. */
export const unknownBatch = "none";
/** What a batch of another coating than the chosen one is taken for. */
export const otherCoating = "other-coating";
export const batchOfAnotherCoating = "That batch is of another coating: choose one of this coating.";

/** Batches that can be poured from, and the one chosen, each as "coating batch"; empty where none is kept. */
export function batchOptions(store: StoreReader, values: FormValues): readonly Choice[] {
  const chosen = textOf(values, "batchId");
  return store.coatings.list().flatMap((coating) =>
    batchesOf(coating)
      .map((batch) => ({ batch, value: `${coating.id} ${batch.id}` }))
      .filter(({ batch, value }) => !batch.isUsedUp || batch.id === chosen || value === chosen)
      .map(({ batch, value }) => ({ value, label: `${coating.name}: ${batchName(batch)}${ageOf(batch)}` })),
  );
}

function ageOf(batch: Batch): string {
  return batchKeepingWarnings(batch, new Date().toISOString()).length > 0 ? ", past its keeping" : "";
}

/** What is said of the batch that the form will be poured from, where it is past its keeping. */
export function batchAgeWarnings(store: StoreReader, values: FormValues): string[] {
  const coatingId = textOf(values, "coatingId");
  const coating = store.coatings.find(coatingId);
  const batchId = chosenBatch(store, values, coatingId);
  const batch = coating === undefined ? undefined : batchesOf(coating).find(({ id }) => id === batchId);
  return batchKeepingWarnings(batch ?? null, new Date().toISOString()).map(keepingWarningWords);
}

/** The chosen batch as its list names it; an address names it by itself, beside its coating. */
export function selectedBatch(options: readonly Choice[], values: FormValues): string {
  const chosen = textOf(values, "batchId");
  const ofCoating = `${textOf(values, "coatingId")} ${chosen}`;
  return options.some(({ value }) => value === ofCoating) ? ofCoating : chosen;
}

/**
 * Batch that a form chose: "coating batch", or the batch alone as an address names it; empty: the newest of the
 * coating.
 * @returns undefined where none is known, `otherCoating` where it is of another one
 */
export function chosenBatch(store: StoreReader, values: FormValues, coatingId: string): string | undefined {
  const typed = textOf(values, "batchId");
  const coating = store.coatings.find(coatingId);
  if (coating === undefined || typed === unknownBatch) return undefined;
  if (typed === "") return batchInUse(coating)?.id;
  const batch = batchesOf(coating).find(({ id }) => typed === id || typed === `${coatingId} ${id}`);
  return batch?.id ?? otherCoating;
}
