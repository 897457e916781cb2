// Stands in for the imaging workers: the "picture" is the JSON of a known curve, and the reading is of that curve.
import type { ReadingJob } from "#src/imaging/jobs.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import { fakeImaging, type FakeImaging } from "./fake-imaging.ts";
import type { Preview } from "#src/imaging/jobs.ts";
import { logistic, syntheticReading } from "./studios/synthetic-test.ts";

export interface PicturedCurve {
  /** log H of half of the net density; the shoulder of a logistic of rate 4 lies log(9) / 4 = 0.549 above it. */
  readonly middle: number;
  readonly net: number;
  readonly exposureSeconds: number;
  readonly seed?: number;
}

/** log H from the middle of the logistic to 90 % of its net density. */
export const shoulderAboveMiddle = Math.log(9) / 4;

export function picturedCurve(curve: PicturedCurve): Buffer {
  return Buffer.from(JSON.stringify(curve));
}

/** @param preview what is answered where the picture is to be shown; asked for one without it, it throws */
export function curveImaging({ preview }: { preview?: () => Preview } = {}): FakeImaging {
  return fakeImaging({
    ...(preview === undefined ? {} : { preview }),
    "measure-reading": (job) => {
      const { picture, request } = job as ReadingJob;
      const { middle, net, exposureSeconds, seed = 1 } = JSON.parse(Buffer.from(picture).toString()) as PicturedCurve;
      const random = seededRandom(seed);
      return syntheticReading({
        tablet: request.tablet,
        exposureSeconds,
        density: logistic({ net, middle }),
        sigma: 0.008,
        noise: () => 0.008 * random.normal(),
      });
    },
  });
}
