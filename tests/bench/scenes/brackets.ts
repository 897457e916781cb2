// Three photos of one print at different exposures by invented cameras: six tone curves, stray light of none to two
// per cent of paper white, and saturation that is raised or not; what the camera notes of its exposures is a little
// off, as light and rounding make it. Densities and their stated uncertainty, of all three and of the middle one alone,
// against the truth that the print was painted with. A second kind of print has green and blue in a fixed proportion to
// red, as no channel of a spectrum gives it exactly.
import sharp from "sharp";
import { srgbFromLinear } from "#shared/density/srgb.ts";
import type { MeasuredReading } from "#shared/reading/reading-facts.ts";
import { averageReadings } from "#shared/reading/camera/average-readings.ts";
import type { Corners, ReadingStep } from "#shared/schema/reading.ts";
import { measureReading } from "#src/imaging/measure-reading.ts";
import { cameraEye, colourOf, colourTable, printReflectances } from "../../../samples/render/colour.ts";
import { seededRandom, type Random } from "../../../samples/render/random.ts";
import { randomScene } from "../../../samples/render/random-scene.ts";
import { pigmentAt } from "../../../samples/render/response.ts";
import type { Print } from "../main.ts";
import { figureLine, rootMeanSquare } from "../statistics.ts";
import type { DensitiesOf } from "../../support/pigment-population.ts";
import { drawnProportions, narrowestSigmas } from "./narrowest-bracket.ts";

const firstSeed = 71_001;
/** Prints by each camera in each light. */
const printsEach = 3;
/** Prints drawn to know how they all are. */
const printsKnown = 400;
const flareShares = [0, 0.01, 0.02];
const chromas = [1, 1.2, 1.4, 1.7];
/** Proportions of green and of blue to red that are fixed: from least to most. Source: common practice, no source */
const fixedProportions = { green: [0.5, 0.67], blue: [0.11, 0.24] } as const;
/** Saturations under which the second kind is shown. */
const fewChromas = [1, 1.4];
/** True exposures beside each other; the middle one puts paper at three quarters of full scale. */
const exposures = [
  { factor: 0.4, seconds: "1/120" },
  { factor: 0.8, seconds: "1/60" },
  { factor: 1.6, seconds: "1/30" },
];
/** What is noted of an exposure is off by so much (log 10), and the light itself: one standard deviation. */
const exposureSigma = 0.006;
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

interface Cell {
  readonly errors: number[];
  /** Errors over what is stated, of three photos and of one alone. */
  readonly shares: number[];
  readonly alone: number[];
  readonly narrowest: number[];
}

export async function run(print: Print): Promise<void> {
  const drawn = drawnProportions(Array.from({ length: printsKnown }, (_, i) => densitiesOfPrint(firstSeed - 1 - i)));
  const contrastSigma = (Math.SQRT2 * exposureSigma) / Math.log10(exposures[2]!.factor / exposures[0]!.factor);
  let seed = firstSeed;
  for (const [kind, chromasOfKind, paint] of [
    ["", chromas, paintedPrint],
    ["fixed proportions, ", fewChromas, paintedInProportion],
  ] as const) {
    for (const chroma of chromasOfKind) {
      for (const flare of flareShares) {
        const cell: Cell = { errors: [], shares: [], alone: [], narrowest: [] };
        for (const curve of Array.from({ length: printsEach }, () => curves).flat()) {
          const painted = paint(seed);
          const readings = await readingsOf(painted, { curve, flare, chroma, seed });
          seed++;
          const narrowest = narrowestSigmas(painted.densities, drawn, { flare, chroma, contrastSigma });
          judged(averageReadings(readings).steps, painted, (step, density, i) => {
            cell.errors.push(step.red - density);
            cell.shares.push((step.red - density) / statedSigma(step));
            cell.narrowest.push(narrowest[i]!);
          });
          judged(readings[1]!.steps, painted, (step, density) =>
            cell.alone.push((step.red - density) / statedSigma(step)),
          );
        }
        printCell(print, `${kind}chroma ${chroma}, flare ${100 * flare} %`, cell, chroma === 1);
      }
    }
  }
}

function printCell(print: Print, name: string, { errors, shares, alone, narrowest }: Cell, isPlain: boolean): void {
  const rms = rootMeanSquare(errors);
  print(
    figureLine(
      `${name}: rms of red density`,
      rms.toFixed(4),
      isPlain ? `<= ${goals.rms}` : "",
      isPlain ? rms <= goals.rms : undefined,
    ),
  );
  print(figureLine(`${name}: the narrowest that the pictures allow`, rootMeanSquare(narrowest).toFixed(4), ""));
  for (const [what, of] of [
    ["error over stated sigma", shares],
    ["... of one photo alone", alone],
  ] as const) {
    const spread = rootMeanSquare(of);
    print(
      figureLine(
        `${name}: ${what}`,
        spread.toFixed(2),
        `${goals.leastSpread} to ${goals.mostSpread}`,
        spread >= goals.leastSpread && spread <= goals.mostSpread,
      ),
    );
  }
}

const statedSigma = (step: ReadingStep): number => Math.hypot(step.sigma, step.cameraSigma ?? 0);

/** Steps that count, each with its true density. */
function judged(
  steps: readonly ReadingStep[],
  { densities }: Painted,
  judge: (step: ReadingStep, density: number, index: number) => void,
): void {
  for (const [i, step] of steps.entries()) {
    const density = densities[i]!;
    if (density > mostDensity || step.flags.includes("out-of-gamut") || step.flags.includes("crushed")) continue;
    judge(step, density, i);
  }
}

/** Densities above paper that a drawn print has under a drawn camera, by the amount of pigment. */
function densitiesOfPrint(seed: number): DensitiesOf {
  const { pigment } = randomScene(seed, { kind: "photo" }).print;
  const eye = cameraEye(seededRandom(seed));
  const paper = colourOf(printReflectances(pigment, 0), eye);
  return (amount) => {
    const inked = colourOf(printReflectances(pigment, amount), eye);
    const [red, green, blue] = inked.map((light, c) => Math.log10(paper[c]! / light));
    return [red!, green!, blue!];
  };
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

/** The same steps, green and blue in proportions that do not bend. */
function paintedInProportion(seed: number): Painted {
  const { paper, densities } = paintedPrint(seed);
  const random = seededRandom(-seed);
  const shares = [1, random.between(...fixedProportions.green), random.between(...fixedProportions.blue)] as const;
  const steps = densities.map((density): Light => {
    const [red, green, blue] = shares.map((share, c) => paper[c]! * 10 ** (-share * density));
    return [red!, green!, blue!];
  });
  return { paper, steps, densities };
}

interface CameraWishes {
  readonly curve: (light: number) => number;
  readonly flare: number;
  readonly chroma: number;
  readonly seed: number;
}

/** The three photos, each read on its own. */
async function readingsOf(painted: Painted, wishes: CameraWishes): Promise<MeasuredReading[]> {
  return Promise.all(
    exposures.map(async ({ factor, seconds }, i) => {
      const random = seededRandom(wishes.seed * 10 + i);
      const codes = photographed(painted, wishes, factor * 10 ** (exposureSigma * random.normal()), random);
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
