// Three photos of one print at different exposures by invented cameras: six tone curves, stray light of none to two
// per cent of paper white, and saturation that is raised or not. Densities and their stated uncertainty, against the
// truth that the print was painted with.
import sharp from "sharp";
import { srgbFromLinear } from "#shared/density/srgb.ts";
import { averageReadings } from "#shared/reading/camera/average-readings.ts";
import type { Corners, ReadingStep } from "#shared/schema/reading.ts";
import { measureReading } from "#src/imaging/measure-reading.ts";
import { cameraEye, colourTable } from "../../../samples/render/colour.ts";
import { seededRandom, type Random } from "../../../samples/render/random.ts";
import { randomScene } from "../../../samples/render/random-scene.ts";
import { pigmentAt } from "../../../samples/render/response.ts";
import type { Print } from "../main.ts";
import { figureLine, rootMeanSquare } from "../statistics.ts";

const firstSeed = 70_001;
const flareShares = [0, 0.01, 0.02];
const chromas = [1, 1.2, 1.4, 1.7];
/** True exposures beside each other; the middle one puts paper at three quarters of full scale. */
const exposures = [
  { factor: 0.4, seconds: "1/120" },
  { factor: 0.8, seconds: "1/60" },
  { factor: 1.6, seconds: "1/30" },
];
/** Codes (0-1) of light by each camera. */
const curves: readonly ((light: number) => number)[] = [
  srgbFromLinear,
  (light) => bent(srgbFromLinear(light), 0.06),
  (light) => bent(srgbFromLinear(light), -0.04),
  (light) => srgbFromLinear(light) ** 0.93,
  (light) => srgbFromLinear(light) ** 1.07,
  (light) => srgbFromLinear((light * 1.25) / (1 + 0.25 * light)),
];
export const title =
  `three photos at different exposures: ${curves.length} tone curves, flare ${flareShares.join(", ")}, ` +
  `chroma ${chromas.join(", ")}, prints from seed ${firstSeed}`;

const goals = { rms: 0.02, leastSpread: 0.8, mostSpread: 1.2 };
/** Steps count up to this red density. */
const mostDensity = 1.5;
const tablet = { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 } as const;
const [width, height] = [790, 260];
const corners: Corners = [
  [80, 80],
  [710, 80],
  [710, 180],
  [80, 180],
];

const bent = (code: number, by: number): number => code + by * Math.sin(2 * Math.PI * (code - 0.5));

type Light = readonly [number, number, number];

interface Painted {
  readonly paper: Light;
  readonly steps: readonly Light[];
  /** Red density above paper. */
  readonly densities: readonly number[];
}

export async function run(print: Print): Promise<void> {
  let seed = firstSeed;
  for (const chroma of chromas) {
    for (const flare of flareShares) {
      const errors: number[] = [];
      const shares: number[] = [];
      for (const curve of curves) {
        const painted = paintedPrint(seed);
        const steps = await solvedSteps(painted, { curve, flare, chroma, seed });
        seed++;
        for (const [i, step] of steps.entries()) {
          const density = painted.densities[i]!;
          if (density > mostDensity || step.flags.includes("out-of-gamut") || step.flags.includes("crushed")) continue;
          errors.push(step.red - density);
          shares.push((step.red - density) / Math.hypot(step.sigma, step.cameraSigma ?? 0));
        }
      }
      const [rms, spread] = [rootMeanSquare(errors), rootMeanSquare(shares)];
      const name = `chroma ${chroma}, flare ${100 * flare} %`;
      const isPlain = chroma === 1;
      print(
        figureLine(
          `${name}: rms of red density`,
          rms.toFixed(4),
          isPlain ? `<= ${goals.rms}` : "",
          isPlain ? rms <= goals.rms : undefined,
        ),
      );
      print(
        figureLine(
          `${name}: error over stated sigma`,
          spread.toFixed(2),
          `${goals.leastSpread} to ${goals.mostSpread}`,
          spread >= goals.leastSpread && spread <= goals.mostSpread,
        ),
      );
    }
  }
}

/** Colours of a print's steps by a spectrum of pigment on paper through an invented camera's channels. */
function paintedPrint(seed: number): Painted {
  const { print } = randomScene(seed, { kind: "photo" });
  const table = colourTable(print.pigment, cameraEye(seededRandom(seed)));
  const colour = (amount: number): Light => {
    const at = table.indexOf(amount);
    return [table.rgb[at]!, table.rgb[at + 1]!, table.rgb[at + 2]!];
  };
  const paper = colour(0);
  const steps = Array.from({ length: tablet.steps }, (_, i) =>
    colour(pigmentAt(print.response, print.response.middleLogH + 1 - tablet.increment * i)),
  );
  return { paper, steps, densities: steps.map(([red]) => Math.log10(paper[0] / red)) };
}

interface CameraWishes {
  readonly curve: (light: number) => number;
  readonly flare: number;
  readonly chroma: number;
  readonly seed: number;
}

async function solvedSteps(painted: Painted, wishes: CameraWishes): Promise<readonly ReadingStep[]> {
  const readings = await Promise.all(
    exposures.map(async ({ factor, seconds }, i) => {
      const codes = photographed(painted, wishes, factor, seededRandom(wishes.seed * 10 + i));
      const picture = await sharp(codes, { raw: { width, height, channels: 3 } })
        .withExif({
          IFD0: { Make: "Invented" },
          IFD2: { ExposureTime: seconds, FNumber: "18/10", ISOSpeedRatings: "100" },
        })
        .jpeg({ quality: 95, chromaSubsampling: "4:4:4" })
        .toBuffer();
      return measureReading({ picture, request: { tablet, corners } });
    }),
  );
  return averageReadings(readings).steps;
}

/** Codes of the picture: stray light first, then saturation, the tone curve, and noise. */
function photographed(
  { paper, steps }: Painted,
  { curve, flare, chroma }: CameraWishes,
  factor: number,
  random: Random,
): Uint8Array {
  const codesOf = (light: Light): number[] => {
    const white = light.map((each, c) => (factor * (each / paper[c]! + flare)) / (1 + flare));
    const luminance = 0.2126 * white[0]! + 0.7152 * white[1]! + 0.0722 * white[2]!;
    return white.map((each) => 255 * curve(Math.min(1, Math.max(0, luminance + chroma * (each - luminance)))));
  };
  const plain = codesOf(paper);
  const inked = steps.map(codesOf);
  const codes = new Uint8Array(width * height * 3);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const isStrip = x >= 80 && x < 710 && y >= 80 && y < 180;
      const colour = isStrip ? inked[Math.floor(((x - 80) / 630) * steps.length)]! : plain;
      for (let c = 0; c < 3; c++)
        codes[(y * width + x) * 3 + c] = Math.round(Math.min(255, Math.max(0, colour[c]! + 1.2 * random.normal())));
    }
  }
  return codes;
}
