// A picture of a part of a page, kept under .build/looks for whoever wants to look, with its mean colour.
import { mkdirSync } from "node:fs";
import { join } from "node:path";
import type { Locator } from "playwright-core";
import sharp from "sharp";
import { rootDir } from "#src/settings.ts";

export interface Photograph {
  readonly width: number;
  readonly height: number;
  /** Mean codes of red, green and blue (0-255). */
  readonly mean: readonly [number, number, number];
  /** Standard deviation of the codes of red: 0 where nothing is to be seen. */
  readonly spread: number;
}

const folder = join(rootDir, ".build", "looks");

export async function photographOf(part: Locator, name: string): Promise<Photograph> {
  mkdirSync(folder, { recursive: true });
  const picture = await part.screenshot({ path: join(folder, `${name}.png`), animations: "disabled" });
  const { width = 0, height = 0 } = await sharp(picture).metadata();
  const [red, green, blue] = (await sharp(picture).removeAlpha().stats()).channels;
  return { width, height, mean: [red?.mean ?? 0, green?.mean ?? 0, blue?.mean ?? 0], spread: red?.stdev ?? 0 };
}
