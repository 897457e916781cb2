// Small pictures made from the stored ones. They can be made again, so a backup leaves them out and a lost one is no
// harm.
import { mkdirSync, readdirSync, rmSync } from "node:fs";
import { readFile, rename, rm, writeFile } from "node:fs/promises";
import { randomBytes } from "node:crypto";
import { join } from "node:path";

export interface PreviewFolder {
  /** JPEG bytes, or undefined when it has not been made yet. */
  read(pictureId: string, maxSidePx: number): Promise<Uint8Array | undefined>;
  /** Keeps it where that can be done; a preview that cannot be kept is no trouble. */
  write(pictureId: string, maxSidePx: number, jpeg: Uint8Array): Promise<void>;
  /** Removes previews of pictures that are gone; gives how many. */
  sweep(isKept: (pictureId: string) => boolean): number;
}

export function previewFolder(dataDir: string): PreviewFolder {
  const folder = join(dataDir, "previews");
  try {
    mkdirSync(folder, { recursive: true });
  } catch {
    // Previews can be made without being kept.
  }
  const fileOf = (pictureId: string, maxSidePx: number): string => join(folder, `${pictureId}-${maxSidePx}.jpg`);
  return {
    async read(pictureId, maxSidePx) {
      try {
        return await readFile(fileOf(pictureId, maxSidePx));
      } catch {
        return undefined;
      }
    },
    async write(pictureId, maxSidePx, jpeg) {
      const file = fileOf(pictureId, maxSidePx);
      const part = `${file}.${randomBytes(4).toString("hex")}.part`;
      try {
        await writeFile(part, jpeg);
        await rename(part, file);
      } catch {
        // A full disk or a locked folder: the preview is shown, and made again when it is asked for again.
        await rm(part, { force: true }).catch(() => undefined);
      }
    },
    sweep(isKept) {
      const gone = namesIn(folder).filter((name) => name.endsWith(".part") || !isKept(name.split("-")[0] ?? ""));
      for (const name of gone) rmSync(join(folder, name), { force: true });
      return gone.length;
    },
  };
}

/** Names in a folder; none where it cannot be read. */
function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder);
  } catch {
    return [];
  }
}
