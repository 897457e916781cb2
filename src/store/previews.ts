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
}

/** @param isKept whether a picture is still stored: at the first use, previews of the others are removed */
export function previewFolder(dataDir: string, isKept: (pictureId: string) => boolean): PreviewFolder {
  const folder = join(dataDir, "previews");
  let isReady = false;
  const makeReady = (): void => {
    if (isReady) return;
    isReady = true;
    try {
      mkdirSync(folder, { recursive: true });
    } catch (error) {
      // Previews can be made without being kept.
      if (!isOfFileSystem(error)) throw error;
    }
    const gone = namesIn(folder).filter((name) => name.endsWith(".part") || !isKept(name.split("-")[0] ?? ""));
    for (const name of gone) rmSync(join(folder, name), { force: true });
  };
  const fileOf = (pictureId: string, maxSidePx: number): string => join(folder, `${pictureId}-${maxSidePx}.jpg`);
  return {
    async read(pictureId, maxSidePx) {
      makeReady();
      try {
        return await readFile(fileOf(pictureId, maxSidePx));
      } catch (error) {
        // Not made yet, or not to be read: it is made again.
        if (!isOfFileSystem(error)) throw error;
        return undefined;
      }
    },
    async write(pictureId, maxSidePx, jpeg) {
      makeReady();
      const file = fileOf(pictureId, maxSidePx);
      const part = `${file}.${randomBytes(4).toString("hex")}.part`;
      try {
        await writeFile(part, jpeg);
        await rename(part, file);
      } catch (error) {
        if (!isOfFileSystem(error)) throw error;
        // A full disk or a locked folder: the preview is shown, and made again when it is asked for again.
        await rm(part, { force: true }).catch(() => undefined);
      }
    },
  };
}

/** Names in a folder; none where it cannot be read. */
function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder);
  } catch (error) {
    if (!isOfFileSystem(error)) throw error;
    return [];
  }
}

/** Whether the file system refused something: errors of Node that carry a code. */
function isOfFileSystem(error: unknown): boolean {
  return error instanceof Error && "code" in error && typeof error.code === "string";
}
