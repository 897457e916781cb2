// Pictures of 12 million pixels for the trial of many people: an invented print from the samples, enlarged to the size
// of a phone's picture, with a sensor's noise, so that each has a real file's length.
import sharp from "sharp";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { seededRandom } from "#shared/statistics/random.ts";
import { rootDir } from "#src/settings.ts";

/** A phone's picture of 12.2 million pixels. */
const widthPx = 4032;
const heightPx = 3024;
/** A prime, so that the noise does not repeat in rows. */
const noiseLength = 1_000_003;
const noiseLevels = 5;

export interface LoadPicture {
  readonly bytes: Buffer;
  readonly corners: readonly (readonly [number, number])[];
}

export async function loadPictures(seed: number): Promise<LoadPicture[]> {
  const random = seededRandom(seed);
  const noise = Float32Array.from({ length: noiseLength }, () => noiseLevels * random.normal());
  return Promise.all(
    ["cotton", "scan-on-paper", "under-exposed"].map(async (name) => {
      const file = join(rootDir, "samples", "pictures", name);
      const { width = 1, height = 1 } = await sharp(`${file}.jpg`).metadata();
      const truth = JSON.parse(await readFile(`${file}.truth.json`, "utf8")) as { corners: [number, number][] };
      const large = await sharp(`${file}.jpg`).resize(widthPx, heightPx, { fit: "fill" }).raw().toBuffer();
      for (let at = 0; at < large.length; at++)
        large[at] = Math.min(255, Math.max(0, (large[at] ?? 0) + (noise[at % noiseLength] ?? 0)));
      const bytes = await sharp(large, { raw: { width: widthPx, height: heightPx, channels: 3 } })
        .jpeg({ quality: 88 })
        .toBuffer();
      const corners = truth.corners.map(([x, y]) => [(x * widthPx) / width, (y * heightPx) / height] as const);
      return { bytes, corners };
    }),
  );
}
