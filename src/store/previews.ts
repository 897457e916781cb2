// Small pictures made from the stored ones. They can be made again, so a backup leaves them out and a lost one is no harm.
import { mkdirSync, readdirSync, rmSync } from "node:fs";
import { readFile, rename, writeFile } from "node:fs/promises";
import { randomBytes } from "node:crypto";
import { join } from "node:path";

export interface PreviewFolder {
  /** JPEG bytes, or undefined when it has not been made yet. */
  read(pictureId: string, maxSidePx: number): Promise<Uint8Array | undefined>;
  write(pictureId: string, maxSidePx: number, jpeg: Uint8Array): Promise<void>;
  /** Removes previews of pictures that are gone; gives how many. */
  sweep(isKept: (pictureId: string) => boolean): number;
}

export function previewFolder(dataDir: string): PreviewFolder {
  const folder = join(dataDir, "previews");
  mkdirSync(folder, { recursive: true });
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
      await writeFile(part, jpeg);
      await rename(part, file);
    },
    sweep(isKept) {
      const gone = readdirSync(folder).filter((name) => name.endsWith(".part") || !isKept(name.split("-")[0] ?? ""));
      for (const name of gone) rmSync(join(folder, name), { force: true });
      return gone.length;
    },
  };
}
