// Several files in one, as every machine opens them, written as they come: no more than one of them is held.
import { open } from "node:fs/promises";
import { Zip, ZipDeflate } from "fflate";

export interface ArchivedFile {
  readonly name: string;
  readonly bytes: Uint8Array;
}

/** Bytes that are taken in at a time, so that the check sum never holds up anybody else. */
const portionBytes = 1 << 20;

/**
 * Writes files one after another into an archive, as they are: pictures are pressed already.
 * @param path the archive's own file
 */
export async function zipFile(path: string, files: AsyncIterable<ArchivedFile>): Promise<void> {
  const ready: Uint8Array[] = [];
  const zip = new Zip((error, chunk) => {
    if (error) throw error;
    ready.push(chunk);
  });
  const out = await open(path, "w");
  const writeReady = async (): Promise<void> => {
    for (const chunk of ready.splice(0)) await out.appendFile(chunk);
  };
  try {
    for await (const { name, bytes } of files) {
      const entry = new ZipDeflate(name, { level: 0 });
      zip.add(entry);
      for (let from = 0; from === 0 || from < bytes.byteLength; from += portionBytes) {
        const until = from + portionBytes;
        entry.push(bytes.subarray(from, until), until >= bytes.byteLength);
        await writeReady();
      }
    }
    zip.end();
    await writeReady();
  } finally {
    await out.close();
  }
}
