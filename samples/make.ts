// Renders the invented studio's pictures with the truth beside each: npx tsx samples/make.ts
import { createHash } from "node:crypto";
import { mkdirSync, writeFileSync } from "node:fs";
import sharp from "sharp";
import { renderScene } from "./render/render-scene.ts";
import { renderBed } from "./render/tablets-on-bed.ts";
import { pictureFile } from "./render/write-picture.ts";
import { bedScene, readStudio, studioScene } from "./studio.ts";

const folder = new URL("pictures/", import.meta.url);
mkdirSync(folder, { recursive: true });
for (const test of readStudio().tests) {
  const rendered = renderScene(studioScene(test));
  const picture = await pictureFile(rendered);
  writeFileSync(new URL(`${test.key}.jpg`, folder), picture);
  const truth = { ...rendered.truth, pictureSha256: createHash("sha256").update(picture).digest("hex") };
  writeFileSync(new URL(`${test.key}.truth.json`, folder), `${JSON.stringify(truth, null, 1)}\n`);
  console.log(
    `${test.key}: ${rendered.width} x ${rendered.height}, ${Math.round(picture.length / 1000)} kB, shoulder at ` +
      `${Math.round(rendered.truth.shoulderSeconds)} s`,
  );
}

const bed = bedScene();
const onBed = renderBed(bed);
const bedPicture = await sharp(onBed.pixels, { raw: { width: bed.widthPx, height: bed.heightPx, channels: 3 } })
  .jpeg({ quality: 88 })
  .toBuffer();
const beds = new URL("beds/", import.meta.url);
mkdirSync(beds, { recursive: true });
writeFileSync(new URL("five-tablets.jpg", beds), bedPicture);
writeFileSync(
  new URL("five-tablets.truth.json", beds),
  `${JSON.stringify(
    {
      note:
        "Invented: Box One of Saltmarsh Print Room, its front tube worn. Rendered by samples/make.ts; places are " +
        "those of step placeStep, stops are below the strongest place of the bed.",
      bedWidthMm: bed.box.bedWidthMm,
      bedHeightMm: bed.box.bedHeightMm,
      tablet: bed.print.tablet,
      exposureSeconds: bed.print.exposureSeconds,
      placeStep: bed.placeStep,
      tablets: bed.pieces.map(({ leftMm, backMm }, i) => ({
        leftMm,
        backMm,
        corners: onBed.corners[i],
        stops: onBed.stops[i],
      })),
      worstToBestStops: onBed.worstToBestStops,
      withinTenthShare: onBed.withinTenthShare,
      pictureSha256: createHash("sha256").update(bedPicture).digest("hex"),
    },
    null,
    1,
  )}\n`,
);
console.log(
  `five-tablets: ${bed.widthPx} x ${bed.heightPx}, ${Math.round(bedPicture.length / 1000)} kB, worst to best ` +
    `${onBed.worstToBestStops.toFixed(2)} stop`,
);
