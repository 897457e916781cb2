// Corners as people mark them: moved by 0.3 to 1.2 % of the strip's length, or 15 to 35 % of its width inside it.
import { TroubleError } from "#shared/errors.ts";
import type { Corners, PointPx } from "#shared/schema/reading.ts";
import { measureReading } from "#src/imaging/measure-reading.ts";
import { seededRandom, type Random } from "../../../samples/render/random.ts";
import { randomScene } from "../../../samples/render/random-scene.ts";
import { renderScene } from "../../../samples/render/render-scene.ts";
import type { Truth } from "../../../samples/render/scene.ts";
import { pictureFile } from "../../../samples/render/write-picture.ts";
import type { Print } from "../main.ts";
import { mostDensityJudged } from "./scene-outcome.ts";
import { placeWarnings } from "./scenes.ts";
import { figureLine, rootMeanSquare } from "../statistics.ts";

const firstSeed = 30_001;
const count = 100;
export const title = `corners moved or marked inside, ${count} rendered pictures, seeds from ${firstSeed}`;

/** Errors may grow by this factor against exact corners, and by this much density where those are next to nothing. */
const mostGrowth = 1.5;
const leastDensity = 0.001;
const kinds = ["scan", "photo", "cotton"] as const;

interface Marked {
  readonly rms: number;
  readonly isDoubted: boolean;
}

export async function run(print: Print): Promise<void> {
  const bad = { moved: 0, inside: 0 };
  const doubted = { moved: 0, inside: 0 };
  for (let seed = firstSeed; seed < firstSeed + count; seed++) {
    const rendered = renderScene(randomScene(seed, { kind: kinds[seed % kinds.length]!, megapixels: 2 }));
    const { truth } = rendered;
    const picture = await pictureFile(rendered);
    const random = seededRandom(seed);
    const exact = await readAt(picture, truth, truth.corners);
    for (const [how, corners] of [
      ["moved", moved(truth.corners, random)],
      ["inside", inside(truth.corners, random)],
    ] as const) {
      const marked = await readAt(picture, truth, corners);
      if (marked.isDoubted) doubted[how]++;
      else if (marked.rms > Math.max(mostGrowth * exact.rms, exact.rms + leastDensity)) {
        bad[how]++;
        print(`  seed ${seed}, ${how}: rms ${marked.rms.toFixed(4)}, at exact corners ${exact.rms.toFixed(4)}`);
      }
    }
  }
  for (const how of ["moved", "inside"] as const) {
    print(figureLine(`${how}: worse than ${mostGrowth} times, unsaid`, `${bad[how]} of ${count}`, "0", bad[how] === 0));
    print(figureLine(`${how}: doubted`, `${doubted[how]} of ${count}`, ""));
  }
}

async function readAt(picture: Uint8Array, truth: Truth, corners: Corners): Promise<Marked> {
  try {
    const { steps, location, warnings } = await measureReading({ picture, request: { ...truth.request, corners } });
    const errors = truth.steps.flatMap(({ index, redPrinted, coveredShare }) =>
      redPrinted === null || redPrinted > mostDensityJudged || coveredShare > 0
        ? []
        : [steps[index - 1]!.red - redPrinted],
    );
    const isDoubted = location.confidence < 0.5 || warnings.some(({ code }) => placeWarnings.includes(code));
    return { rms: rootMeanSquare(errors), isDoubted };
  } catch (error) {
    if (error instanceof TroubleError) return { rms: Number.NaN, isDoubted: true };
    throw error;
  }
}

function moved(corners: Corners, random: Random): Corners {
  const [a, b] = corners;
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const move = ([x, y]: PointPx): PointPx => {
    const [far, way] = [length * random.between(0.003, 0.012), random.between(0, 2 * Math.PI)];
    return [x + far * Math.cos(way), y + far * Math.sin(way)];
  };
  const [p, q, r, s] = corners;
  return [move(p), move(q), move(r), move(s)];
}

function inside([a, b, c, d]: Corners, random: Random): Corners {
  const share = random.between(0.15, 0.35);
  const towards = (p: PointPx, q: PointPx): PointPx => [p[0] + share * (q[0] - p[0]), p[1] + share * (q[1] - p[1])];
  return [towards(a, d), towards(b, c), towards(c, b), towards(d, a)];
}
