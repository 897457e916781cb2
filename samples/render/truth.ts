// What a perfect reader would report about a scene.
import type { Corners, ReadingRequest } from "#shared/schema/reading.ts";
import { luminanceOf } from "./colour.ts";
import { bentPoint } from "./lens.ts";
import { project, type Matrix } from "./pose.ts";
import type { PrintSurface } from "./print-surface.ts";
import { pigmentAt } from "./response.ts";
import type { Scene, StepTruth, Truth } from "./scene.ts";
import { isCovered, type PlacedThing } from "./things.ts";

/**
 * Share of the net maximum that the shoulder stands for, and toe above the minimum (ISO 6846, see
 * docs/reference/sources.md).
 */
const shoulderShare = 0.9;
const toeAboveMin = 0.04;
/** The middle of a step that is averaged: 60 % of its length and width. */
const middleShare = 0.6;
const samplesAcross = 48;

type Rgb = readonly [number, number, number];

export function truthOf(
  scene: Scene,
  surface: PrintSurface,
  pose: Matrix,
  corners: Corners,
  placed: readonly PlacedThing[],
): Truth {
  const { print, camera } = scene;
  const overPrint = placed.filter((item) => item.thing.name !== "reference-patch" && item.thing.name !== "card");
  // The paper that densities are counted from: unexposed, averaged over a patch as large as the whole strip.
  const paper = meanColour(surface, [0, print.lengthMm, 0, print.widthMm], true, 0);
  const steps = print.logH.map((actualLogH, index): StepTruth => {
    const [from, to] = [print.boundaries[index]! * print.lengthMm, print.boundaries[index + 1]! * print.lengthMm];
    const marginX = ((to - from) * (1 - middleShare)) / 2;
    const marginY = (print.widthMm * (1 - middleShare)) / 2;
    const box = [from + marginX, to - marginX, marginY, print.widthMm - marginY] as const;
    const pigment = surface.pigmentOfSteps[index]!;
    const even = meanColour(surface, box, true, pigment);
    const printed = meanColour(surface, box, false, pigment);
    const luminanceShare = luminanceOf(...printed) / luminanceOf(...paper);
    return {
      index: index + 1,
      input: inputOf(scene, index),
      logH: print.nominalLogH[index]!,
      actualLogH,
      red: densityOf(even[0], paper[0]),
      redPrinted: densityOf(printed[0], paper[0]),
      visual: -Math.log10(luminanceOf(...even) / luminanceOf(...paper)),
      visualPrinted: -Math.log10(luminanceShare),
      lightnessToPaper: lightnessOf(luminanceShare),
      lightness: lightnessOf(luminanceOf(...printed)),
      coveredShare: coveredShare(overPrint, box),
      centre: bentPoint(camera, project(pose, (from + to) / 2, print.widthMm / 2)),
    };
  });
  const curve = curveOf(surface, scene, paper[0]);
  const net = curve.dMax - curve.dMin;
  const reds = steps.map((step) => step.red ?? curve.dMax);
  return {
    note: "Invented: rendered from a known curve by samples/render.",
    name: scene.name,
    kind: scene.kind,
    seed: scene.seed,
    picture: {
      width: camera.widthPx,
      height: camera.heightPx,
      format: scene.file.format,
      bits: scene.file.bits,
      orientation: scene.file.orientation,
    },
    corners,
    request: requestOf(scene, pose),
    exposureSeconds: print.exposureSeconds,
    filmDensity: scene.filmDensity,
    steps,
    curve,
    shoulderSeconds: 10 ** (curve.shoulderLogH + scene.filmDensity),
    coverage: { least: (Math.min(...reds) - curve.dMin) / net, most: (Math.max(...reds) - curve.dMin) / net },
    disturbances: disturbancesOf(scene),
  };
}

function requestOf(scene: Scene, pose: Matrix): ReadingRequest {
  const patches = scene.things
    .filter((thing) => thing.name === "reference-patch")
    .map((thing, index) => ({
      density: scene.referenceDensities[index]!,
      at: bentPoint(scene.camera, project(pose, thing.centreMm[0], thing.centreMm[1])),
    }));
  return { tablet: scene.print.tablet, ...(patches.length > 0 ? { reference: { patches } } : {}) };
}

function inputOf(scene: Scene, index: number): number {
  const { tablet } = scene.print;
  switch (tablet.kind) {
    case "transmission":
      return "densities" in tablet ? tablet.densities[index]! : tablet.firstDensity + index * tablet.increment;
    case "timed":
      return tablet.seconds[index]!;
    case "levels":
      return tablet.levels[index]!;
    case "sheet":
      throw new RangeError("the strip renderer makes no sheets");
  }
}

/** Mean linear colour over a box [mm: left, right, top, bottom] that holds one amount of pigment. */
function meanColour(
  surface: PrintSurface,
  box: readonly [number, number, number, number],
  even: boolean,
  pigment: number,
): Rgb {
  const colour = new Float32Array(3);
  const sum = [0, 0, 0];
  for (let row = 0; row < samplesAcross; row++) {
    for (let column = 0; column < samplesAcross; column++) {
      const x = box[0] + ((column + 0.5) / samplesAcross) * (box[1] - box[0]);
      const y = box[2] + ((row + 0.5) / samplesAcross) * (box[3] - box[2]);
      surface.colourWith(pigment, x, y, colour, 0, even);
      for (let channel = 0; channel < 3; channel++) sum[channel]! += colour[channel]!;
    }
  }
  return [sum[0]! / samplesAcross ** 2, sum[1]! / samplesAcross ** 2, sum[2]! / samplesAcross ** 2];
}

function coveredShare(things: readonly PlacedThing[], box: readonly [number, number, number, number]): number {
  let covered = 0;
  const side = 24;
  for (let row = 0; row < side; row++) {
    for (let column = 0; column < side; column++) {
      const x = box[0] + ((column + 0.5) / side) * (box[1] - box[0]);
      const y = box[2] + ((row + 0.5) / side) * (box[3] - box[2]);
      if (things.some((item) => isCovered(item, x, y))) covered++;
    }
  }
  return covered / side ** 2;
}

/** Least and most red density of the even print and where the shoulder lies, by a fine walk along the true curve. */
function curveOf(surface: PrintSurface, scene: Scene, paperRed: number): Truth["curve"] {
  const { print } = scene;
  const { response } = print;
  const box = [0, print.threadMm * 4, 0, print.threadMm * 4] as const;
  const redAt = (logH: number): number =>
    densityOf(meanColour(surface, box, true, pigmentAt(response, logH))[0], paperRed) ?? Number.POSITIVE_INFINITY;
  const dMin = redAt(-20);
  let [dMax, logHOfMax] = [dMin, -20];
  for (let logH = response.middleLogH - 1; logH <= response.middleLogH + 2.5; logH += 0.05) {
    const density = redAt(logH);
    if (density > dMax + 1e-6) [dMax, logHOfMax] = [density, logH];
  }
  const shoulderDensity = dMin + shoulderShare * (dMax - dMin);
  const crossing = (density: number): number => {
    let [low, high] = [response.middleLogH - 6, logHOfMax];
    for (let round = 0; round < 40; round++) {
      const middle = (low + high) / 2;
      if (redAt(middle) < density) low = middle;
      else high = middle;
    }
    return (low + high) / 2;
  };
  return {
    dMin,
    dMax,
    shoulderDensity,
    shoulderLogH: crossing(shoulderDensity),
    toeLogH: crossing(dMin + toeAboveMin),
  };
}

function densityOf(level: number, paper: number): number | null {
  return level > 0 ? -Math.log10(level / paper) : null;
}

/** CIE 1976 L* of a luminance relative to white. */
function lightnessOf(share: number): number {
  return share > (6 / 29) ** 3 ? 116 * Math.cbrt(share) - 16 : (24389 / 27) * share;
}

/** What disturbs the picture, in words for whoever looks at its truth. */
function disturbancesOf({ print, camera, file, things }: Scene): string[] {
  const named = new Set(things.map((thing) => thing.name.replace("-", " ")));
  const when = (isSo: boolean, text: string): string[] => (isSo ? [text] : []);
  const percent = (share: number, digits: number): string => `${(100 * share).toFixed(digits)} %`;
  const { marks } = print;
  return [
    ...when(camera.tiltDegrees > 0, `tilted ${camera.tiltDegrees.toFixed(0)} degrees`),
    `turned ${camera.turnDegrees.toFixed(0)} degrees`,
    ...when(camera.fallOffShare > 0, `light falls off by ${percent(camera.fallOffShare, 0)}`),
    ...when(camera.kind === "photo" && camera.vignetteShare > 0, "vignetting"),
    `blur ${camera.blurPx.toFixed(1)} px`,
    ...when(camera.sharpenAmount > 0, `sharpened ${camera.sharpenAmount.toFixed(1)}`),
    ...when(camera.flareShare > 0, `flare ${percent(camera.flareShare, 1)}`),
    ...when(camera.toneBend > 0, `tone curve bent ${camera.toneBend.toFixed(2)}`),
    file.format === "jpeg"
      ? `JPEG quality ${file.quality} ${file.chroma}`
      : `${file.format.toUpperCase()} ${file.bits} bit`,
    ...when(print.support === "cotton", "cotton weave"),
    `${print.surround} surround`,
    ...when(print.brushMm > 0 && print.surround === "blue", "brushed edges"),
    ...when(print.response.reversalShare > 0, "falling shoulder"),
    ...when(print.dividerPigmentShare !== null || (marks?.line ?? null) !== null, "lines between the steps"),
    ...when((marks?.numbers ?? null) !== null, "numbers in the steps"),
    ...when((marks?.lobesMm ?? null) !== null && print.surround !== "white", "torn brush edges"),
    ...when((marks?.grid ?? null) !== null, "mat with a grid"),
    ...when(camera.shadow !== undefined, "hard shadow"),
    ...when(camera.lensBend !== undefined, `lens bends by ${percent(camera.lensBend ?? 0, 1)}`),
    ...named,
  ];
}
