// Renders the invented studio's pictures with the truth beside each: npx tsx samples/make.ts
import { createHash } from "node:crypto";
import { mkdirSync, writeFileSync } from "node:fs";
import { renderScene } from "./render/render-scene.ts";
import { pictureFile } from "./render/write-picture.ts";
import { readStudio, studioScene } from "./studio.ts";

const folder = new URL("pictures/", import.meta.url);
mkdirSync(folder, { recursive: true });
for (const test of readStudio().tests) {
  const rendered = renderScene(studioScene(test));
  const picture = await pictureFile(rendered);
  writeFileSync(new URL(`${test.key}.jpg`, folder), picture);
  const truth = { ...rendered.truth, pictureSha256: createHash("sha256").update(picture).digest("hex") };
  writeFileSync(new URL(`${test.key}.truth.json`, folder), `${JSON.stringify(truth, null, 1)}\n`);
  console.log(`${test.key}: ${rendered.width} x ${rendered.height}, ${Math.round(picture.length / 1000)} kB, shoulder at ${Math.round(rendered.truth.shoulderSeconds)} s`);
}
