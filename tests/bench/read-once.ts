// A program of its own for the speed section: decodes or reads one file and says how long it took and how much memory
// it held.
import { readFileSync } from "node:fs";
import sharp from "sharp";
import type { ReadingRequest } from "#shared/schema/reading.ts";
import { decodeHeic } from "#src/imaging/decode/heic.ts";
import { measureReading } from "#src/imaging/measure-reading.ts";

export interface OnceAnswer {
  /** Seconds of each round inside the process. */
  readonly seconds: readonly number[];
  readonly residentMb: number;
}

const [what = "", file = "", requestFile = "", rounds = "1"] = process.argv.slice(2);

async function once(picture: Buffer, request: ReadingRequest): Promise<void> {
  if (what === "decode") await sharp(picture, { sequentialRead: true }).autoOrient().raw().toBuffer();
  else if (what === "decode-heic") await decodeHeic(picture);
  else if (what === "read") await measureReading({ picture, request });
  else throw new Error(`"${what}" is neither decode, decode-heic nor read`);
}

// As in the program's own workers: one core for each picture, nothing kept between them.
sharp.concurrency(1);
sharp.cache(false);
const picture = readFileSync(file);
const request = JSON.parse(readFileSync(requestFile, "utf8")) as ReadingRequest;
const seconds: number[] = [];
for (let round = 0; round < Number(rounds); round++) {
  const started = performance.now();
  await once(picture, request);
  seconds.push((performance.now() - started) / 1000);
}
console.log(JSON.stringify({ seconds, residentMb: process.resourceUsage().maxRSS / 1024 } satisfies OnceAnswer));
