// What was deleted, for 30 days: each thing a folder with its record and second names of its pictures.
import {
  copyFileSync,
  existsSync,
  linkSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { basename, join } from "node:path";
import { z } from "zod";
import { InputError } from "#shared/errors.ts";
import { newId } from "#src/store/ids.ts";

const binFolderName = "bin";
const recordName = "record.json";
/** How long deleted things are kept. */
const binnedDays = 30;
const dayMs = 24 * 3_600_000;

const binnedKinds = ["test", "print", "lamps", "supports", "coatings", "films", "stocks", "tablets"] as const;
export type BinnedKind = (typeof binnedKinds)[number];

const binnedSchema = z.object({
  kind: z.enum(binnedKinds),
  /** What it was called. */
  label: z.string(),
  deletedAt: z.string(),
  record: z.unknown(),
  /** Names of its pictures' files, in the order in which it names them. */
  pictures: z.array(z.string()),
});
export type Binned = z.infer<typeof binnedSchema>;

/** Keeps a thing that is about to be deleted; a folder that cannot be written refuses the deletion. */
export function putInBin(
  dataDir: string,
  { pictureFiles, ...thing }: Omit<Binned, "pictures"> & { readonly pictureFiles: readonly string[] },
): void {
  const id = newId();
  const passing = join(dataDir, `passing-${id}`);
  mkdirSync(passing, { recursive: true });
  const pictures = pictureFiles.filter((file) => existsSync(file));
  for (const file of pictures) {
    const target = join(passing, basename(file));
    if (existsSync(target)) continue;
    try {
      linkSync(file, target);
    } catch {
      copyFileSync(file, target);
    }
  }
  const binned: Binned = { ...thing, pictures: pictures.map((file) => basename(file)) };
  writeFileSync(join(passing, recordName), JSON.stringify(binned));
  mkdirSync(join(dataDir, binFolderName), { recursive: true });
  renameSync(passing, join(dataDir, binFolderName, id));
}

/** What is in the bin, last deleted first. */
export function binned(dataDir: string): (Binned & { readonly name: string })[] {
  const folder = join(dataDir, binFolderName);
  if (!existsSync(folder)) return [];
  return readdirSync(folder)
    .flatMap((name) => {
      const file = join(folder, name, recordName);
      const parsed = existsSync(file) ? binnedSchema.safeParse(JSON.parse(readFileSync(file, "utf8"))) : undefined;
      return parsed?.success === true ? [{ ...parsed.data, name }] : [];
    })
    .sort((one, other) => (one.deletedAt < other.deletedAt ? 1 : -1));
}

/** @throws InputError "not-found" */
export function binnedThing(dataDir: string, name: string): Binned & { readonly files: readonly string[] } {
  const found = binned(dataDir).find((each) => each.name === name);
  if (found === undefined) throw new InputError("not-found", "This is not in the bin any more.");
  return { ...found, files: found.pictures.map((picture) => join(dataDir, binFolderName, name, picture)) };
}

/** Forgets one thing for good. */
export function removeFromBin(dataDir: string, name: string): void {
  binnedThing(dataDir, name);
  rmSync(join(dataDir, binFolderName, name), { recursive: true, force: true });
}

/** Forgets what has lain there for 30 days; gives how many. */
export function removeOldFromBin(dataDir: string, now: Date): number {
  const old = binned(dataDir).filter(({ deletedAt }) => now.getTime() - Date.parse(deletedAt) > binnedDays * dayMs);
  for (const { name } of old) rmSync(join(dataDir, binFolderName, name), { recursive: true, force: true });
  return old.length;
}
