// The invented studio: its materials and tests as data, and the scene that each test's picture is rendered from.
import { readFileSync } from "node:fs";
import type { Tablet } from "#shared/schema/reading.ts";
import { sampleStudioSchema, type SampleStudio, type SampleTest } from "#shared/schema/sample-studio.ts";
import { filmDensities, randomScene } from "./render/random-scene.ts";
import { seededRandom } from "./render/random.ts";
import type { Pigment } from "./render/colour.ts";
import type { Response } from "./render/response.ts";
import type { Scene } from "./render/scene.ts";
import type { BedScene, TubeBox } from "./render/tablets-on-bed.ts";

/** The studio of samples/studio.json. */
export function readStudio(file: string | URL = new URL("studio.json", import.meta.url)): SampleStudio {
  return sampleStudioSchema.parse(JSON.parse(readFileSync(file, "utf8")));
}

/** One coating in the whole studio; lamps and supports only shift it and weaken it. */
const paperResponse: Response = {
  shape: "weibull",
  most: 1.9,
  middleLogH: 2.42,
  steepness: 1.02,
  reversalShare: 0,
  reversalFromLogH: 0.9,
};
const paperPigment: Pigment = {
  peakNm: 702,
  widthPerCm: 6500,
  greyShare: 0.1,
  surfaceReflectance: 0.01,
  stainDensity: 0.02,
  paperReflectance: 0.88,
  paperWarmth: 0.06,
};
const clothSurfaceReflectance = 0.018;
/** How much less log exposure a lamp needs than Box One for the same blue. */
const lampLogSpeed: Readonly<Record<string, number>> = {
  "sample-lamp-box-one": 0,
  "sample-lamp-box-two": 0.34,
  "sample-lamp-yard": 0.22,
};
const clothLogLoss = 0.14;
const clothPigmentShare = 0.74;

/** The scene of a test's picture. */
export function studioScene(test: SampleTest): Scene {
  const scene = randomScene(test.seed, {
    kind: test.kind,
    megapixels: test.megapixels,
    clutter: test.taken?.clutter ?? false,
    anyTurn: false,
    mostTiltDegrees: 20,
    mostFallOffShare: 0.25,
    tablet: test.tablet,
  });
  const cloth = test.kind === "cotton";
  const response: Response = {
    ...paperResponse,
    most: paperResponse.most * (cloth ? clothPigmentShare : 1),
    middleLogH: paperResponse.middleLogH - (lampLogSpeed[test.lampId] ?? 0) + (cloth ? clothLogLoss : 0),
  };
  const random = seededRandom(test.seed);
  const nominalLogH = nominalLogHOf(test.tablet, test.exposureSeconds);
  const { tiltDegrees, fallOffShare } = test.taken ?? scene.camera;
  return {
    ...scene,
    name: test.key,
    filmDensity: test.filmInTest ? 0 : 0.08,
    print: {
      ...scene.print,
      response,
      pigment: cloth ? { ...paperPigment, surfaceReflectance: clothSurfaceReflectance } : paperPigment,
      exposureSeconds: test.exposureSeconds,
      nominalLogH,
      logH: nominalLogH.map((logH) => logH + 0.008 * random.normal()),
    },
    camera: { ...scene.camera, tiltDegrees, fallOffShare },
    file: {
      format: "jpeg",
      bits: 8,
      quality: test.kind === "scan" ? 93 : 88,
      chroma: test.kind === "scan" ? "4:4:4" : "4:2:0",
      orientation: test.taken?.orientation ?? 1,
    },
  };
}

function nominalLogHOf(tablet: Tablet, exposureSeconds: number): number[] {
  return filmDensities(tablet).map((density) => Math.log10(exposureSeconds) - density);
}

/** Bed of Box One in the picture of five tablets: eight tubes, the one nearest the front worn to seven tenths. */
const boxOne: TubeBox = {
  bedWidthMm: 560,
  bedHeightMm: 420,
  heightMm: 90,
  tubeLengthMm: 600,
  strayShare: 0.3,
  tubes: Array.from({ length: 8 }, (_, index) => ({ backMm: (index + 0.5) * 52.5, output: index === 7 ? 0.7 : 1 })),
};
const bedTablet = { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 } as const;
const bedExposureSeconds = 1080;
/** The step of middle blue at that exposure. */
const bedPlaceStep = 6;

/** One 21-step tablet printed at five places of Box One's bed, the pieces photographed side by side. */
export function bedScene(): BedScene {
  const { print } = randomScene(51, { kind: "photo", clutter: false, tablet: bedTablet });
  const random = seededRandom(51);
  const nominalLogH = nominalLogHOf(bedTablet, bedExposureSeconds);
  const pxPerMm = 7;
  const pieces = [
    [62, 40],
    [476, 40],
    [270, 210],
    [62, 380],
    [476, 380],
  ] as const;
  return {
    seed: 51,
    box: boxOne,
    placeStep: bedPlaceStep,
    widthPx: 2300,
    heightPx: 1560,
    pxPerMm,
    vignetteShare: 0.3,
    slopeShare: 0.18,
    noise: 0.004,
    blurPx: 0.8,
    coatingSigmaLogH: 0.006,
    print: {
      ...print,
      lengthMm: 110,
      widthMm: 16,
      response: paperResponse,
      pigment: paperPigment,
      surround: "white",
      sheetBorderMm: [18, 16, 18, 16],
      exposureSeconds: bedExposureSeconds,
      nominalLogH,
      logH: nominalLogH.map((logH) => logH + 0.008 * random.normal()),
    },
    pieces: pieces.map(([leftMm, backMm], index) => ({
      leftMm,
      backMm,
      turnedDegrees: random.between(-3, 3),
      at: [600 + (index % 2) * 1100, 290 + Math.floor(index / 2) * 480],
    })),
  };
}
