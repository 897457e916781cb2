// Deleting without losing: what is deleted goes into the bin, and comes back from it.
import { readFile } from "node:fs/promises";
import { coatingInputSchema, filmInputSchema, lampInputSchema, supportInputSchema } from "#shared/schema/materials.ts";
import { printInputSchema, type SavedPrint } from "#shared/schema/prints.ts";
import { stockInputSchema } from "#shared/schema/stocks.ts";
import { tabletInputSchema } from "#shared/schema/tablets.ts";
import type { SavedTest } from "#shared/schema/test.ts";
import {
  binned,
  binnedThing,
  putInBin,
  removeFromBin,
  removeOldFromBin,
  type BinnedKind,
} from "#src/store/safekeeping/binned-things.ts";
import { checkMaterials } from "#src/studio/materials/check-materials.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";

type Writable = ReturnType<typeof forWriting>;
type MaterialTableName = Exclude<BinnedKind, "test" | "print">;

/** Keeps a test that is about to be deleted. */
export function binTest({ store }: Pick<Tools, "store">, test: SavedTest, pictureIds: readonly string[]): void {
  putInBin(store.dataDir, {
    kind: "test",
    label: test.request.name,
    deletedAt: new Date().toISOString(),
    record: test,
    pictureFiles: pictureIds.flatMap((id) => store.pictures.find(id)?.file ?? []),
  });
}

/** Keeps a print that is about to be deleted. */
export function binPrint({ store }: Pick<Tools, "store">, print: SavedPrint): void {
  putInBin(store.dataDir, {
    kind: "print",
    label: print.name,
    deletedAt: new Date().toISOString(),
    record: print,
    pictureFiles: print.pictureId === null ? [] : [store.pictures.find(print.pictureId)?.file ?? ""],
  });
}

/**
 * Deletes a material or a bottle; it can be brought back for 30 days.
 * @throws InputError "not-found", or "in-use" while something refers to it
 */
export function deleteMaterial({ store }: Pick<Tools, "store">, kind: MaterialTableName, id: string): void {
  const record = store[kind].get(id);
  forWriting(store)[kind].remove(id);
  const deletedAt = new Date().toISOString();
  putInBin(store.dataDir, { kind, label: record.name, deletedAt, record, pictureFiles: [] });
}

/** What lies in the bin, last deleted first. */
export function inBin({ store }: Pick<Tools, "store">): ReturnType<typeof binned> {
  return binned(store.dataDir);
}

/** Forgets everything in the bin for good: the way to make room on a full disk. */
export function emptyBin({ store }: Pick<Tools, "store">): void {
  for (const { name } of binned(store.dataDir)) removeFromBin(store.dataDir, name);
  forgetLaterReadings({ store });
}

/** Forgets what has lain in the bin for 30 days; gives how many. */
export function sweepBin({ store }: Pick<Tools, "store">, now: Date): number {
  const swept = removeOldFromBin(store.dataDir, now);
  forgetLaterReadings({ store });
  return swept;
}

/** A strip's later readings stay while its test can come back from the bin, and no longer. */
function forgetLaterReadings({ store }: Pick<Tools, "store">): void {
  const writing = forWriting(store);
  // Written by this program, from a record that it had read and checked.
  const comingBack = binned(store.dataDir).flatMap(({ kind, record }) =>
    kind === "test" ? [(record as SavedTest).id] : [],
  );
  const pictureIds = writing.transaction(() => writing.fading.removeOfGoneTests(comingBack));
  pictureIds.forEach((id) => writing.pictures.removeIfUnused(id));
}

/**
 * Brings a deleted thing back as it was.
 * @returns its kind and id
 * @throws InputError "not-found", or "bad-request" when a material that it names is gone: bring that back first
 */
export async function bringBack(
  { store }: Pick<Tools, "store">,
  name: string,
): Promise<{ kind: BinnedKind; id: string }> {
  const { kind, record, files } = binnedThing(store.dataDir, name);
  const id =
    kind === "test" || kind === "print"
      ? await bringBackWork(forWriting(store), kind, record, files)
      : bringBackMaterial(forWriting(store), kind, record);
  removeFromBin(store.dataDir, name);
  return { kind, id };
}

async function bringBackWork(
  store: Writable,
  kind: "test" | "print",
  record: unknown,
  files: readonly string[],
): Promise<string> {
  // Written by this program, from a record that it had read and checked.
  const saved = record as SavedTest & SavedPrint;
  checkMaterials(store, kind === "test" ? saved.request : saved);
  const written: Awaited<ReturnType<typeof store.pictures.write>>[] = [];
  for (const file of files) written.push(await store.pictures.write(await readFile(file)));
  try {
    return store.transaction(() => {
      for (const picture of written) store.pictures.keep(picture);
      if (kind === "print")
        return store.prints.save(printInputSchema.parse(saved), {
          id: saved.id,
          createdAt: saved.createdAt,
          pictureId: saved.pictureId,
        }).id;
      const { id, createdAt, updatedAt: _updatedAt, ...test } = saved;
      return store.tests.save(test, { id, createdAt }).id;
    });
  } finally {
    written.forEach((picture) => store.pictures.letGo(picture));
  }
}

function bringBackMaterial(store: Writable, kind: MaterialTableName, record: unknown): string {
  const { id } = record as { id: string };
  switch (kind) {
    case "lamps":
      return store.lamps.create(lampInputSchema.parse(record), { id }).id;
    case "supports":
      return store.supports.create(supportInputSchema.parse(record), { id }).id;
    case "coatings":
      return store.coatings.create(coatingInputSchema.parse(record), { id }).id;
    case "films":
      return store.films.create(filmInputSchema.parse(record), { id }).id;
    case "stocks":
      return store.stocks.create(stockInputSchema.parse(record), { id }).id;
    case "tablets":
      return store.tablets.create(tabletInputSchema.parse(record), { id }).id;
  }
}
