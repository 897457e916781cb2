// Imaging that answers every kind of job with something small, for tests that look at the shape of answers.
import { deflateSync } from "node:zlib";
import { packedPart } from "#shared/format/packed-picture.ts";
import { drawSheet, type SheetDrawing } from "#src/imaging/draw-sheet.ts";
import type { ReadingJob } from "#src/imaging/jobs.ts";
import { measureInkSheet } from "#src/imaging/sheet/measure-sheet.ts";
import { inkSheetPhoto } from "../bench/closed-loop/inks.ts";
import type { PicturedCurve } from "./curve-imaging.ts";
import { fakeImaging, type FakeImaging } from "./fake-imaging.ts";
import { logistic, syntheticReading } from "./studios/synthetic-test.ts";

/** A picture that is a known curve gives that; any other, such as a sample's, gives one curve of our own. */
function curveOf(picture: Uint8Array): PicturedCurve {
  const text = Buffer.from(picture).toString();
  return text.startsWith("{") ? (JSON.parse(text) as PicturedCurve) : { middle: 2, net: 1.4, exposureSeconds: 900 };
}

const inkSheet = async () => measureInkSheet({ picture: await inkSheetPhoto(3, "fitting", ["black"]) });

export function answeringImaging(): FakeImaging {
  return fakeImaging({
    "measure-reading": (job) => {
      const { picture, request: asked } = job as ReadingJob;
      const { middle, net, exposureSeconds } = curveOf(picture);
      return syntheticReading({ tablet: asked.tablet, exposureSeconds, density: logistic({ net, middle }) });
    },
    preview: () => ({ jpeg: new Uint8Array([255, 216, 255]), fullWidth: 100, fullHeight: 70, width: 100, height: 70 }),
    "measure-field": () => ({
      places: Array.from({ length: 100 }, (_, i) => ({
        x: ((i % 10) + 0.5) / 10,
        y: (Math.floor(i / 10) + 0.5) / 10,
        red: 0.7 + 0.01 * (i % 10),
        visual: 0.4,
      })),
      lightFrom: "paper-border",
      pictureLightStops: 0.1,
    }),
    "draw-sheet": (job) => drawSheet(job as SheetDrawing),
    "measure-spots": async () => ({ reading: (await inkSheet()).reading, spots: [{ density: 0.6, sigma: 0.01 }] }),
    "measure-ink-sheet": inkSheet,
    "draw-negative": () => ({
      // One black pixel: filter 0, grey 0.
      sheets: [
        {
          picture: { width: 1, height: 1, bits: 8, channels: 1, parts: [packedPart(deflateSync(Uint8Array.of(0, 0)))] },
          filmMm: null,
        },
      ],
      rows: 1,
      columns: 1,
      widthPx: 1,
      heightPx: 1,
      warnings: [],
    }),
  });
}
