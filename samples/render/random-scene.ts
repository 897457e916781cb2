// Scenes that vary everything from a seed: one print, one pose, one camera, one file.
import type { Tablet } from "#shared/schema/reading.ts";
import { cameraEye, colourOf, printReflectances, type Pigment } from "./colour.ts";
import { inverse, poseOf, project } from "./pose.ts";
import { seededRandom, type Random } from "./random.ts";
import { pigmentAt, type Response } from "./response.ts";
import type { Camera, FileKind, Scene, SceneKind, StripPrint, Thing } from "./scene.ts";
import { randomThings, referencePatches } from "./random-things.ts";

export interface SceneWishes {
  readonly kind: SceneKind;
  /** Millions of pixels; default at random from 2 to 8. */
  readonly megapixels?: number;
  /** Where the exposure puts the shoulder on the tablet; default a good test. */
  readonly exposed?: "well" | "under" | "over";
  /** Limits of what may go wrong; defaults suit the hard end of ordinary pictures. */
  readonly mostTiltDegrees?: number;
  readonly mostFallOffShare?: number;
  /** False keeps the strip on plain masked paper with nothing else in the frame. */
  readonly clutter?: boolean;
  /** True lets the strip lie at any turn; false keeps it within a few degrees of level or upright. */
  readonly anyTurn?: boolean;
  readonly tablet?: Tablet;
  readonly reversal?: boolean;
  readonly mostRedDensity?: number;
}

export const sceneKinds: readonly SceneKind[] = ["scan", "photo", "toned-photo", "cotton"];

/** A scene of the wished kind; the same seed and wishes give the same scene. */
export function randomScene(seed: number, wishes: SceneWishes): Scene {
  const random = seededRandom(seed * 101 + 17 * (1 + sceneKinds.indexOf(wishes.kind)));
  const clutter = wishes.clutter ?? true;
  const print = randomPrint(random, seed, wishes, clutter);
  const camera = randomCamera(random, wishes, print);
  const withPatches = wishes.kind === "toned-photo";
  const reference = withPatches ? referencePatches(print, random) : { things: [], densities: [] };
  const things: Thing[] = [...reference.things, ...(clutter ? randomThings(print, random) : [])];
  return {
    seed,
    name: `${wishes.kind}-${seed}`,
    kind: wishes.kind,
    print: withPatches ? roomForPatches(print) : print,
    things,
    camera,
    file: randomFile(random, wishes.kind),
    filmDensity: Math.round(random.between(0.03, 0.2) * 100) / 100,
    referenceDensities: reference.densities,
  };
}

function roomForPatches(print: StripPrint): StripPrint {
  const [left, top, right, bottom] = print.sheetBorderMm;
  return { ...print, sheetBorderMm: [left, top, right, Math.max(bottom, print.widthMm + 30)] };
}

const tablets: readonly Tablet[] = [
  { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 },
  { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 },
  { kind: "transmission", steps: 31, increment: 0.1, firstDensity: 0.05 },
  { kind: "transmission", steps: 41, increment: 0.05, firstDensity: 0.05 },
  {
    kind: "transmission",
    densities: [0.04, 0.22, 0.39, 0.58, 0.77, 0.93, 1.12, 1.31, 1.5, 1.68, 1.87, 2.05, 2.24, 2.42],
  },
];

function randomPigment(random: Random, cotton: boolean): Pigment {
  return {
    peakNm: random.between(690, 712),
    widthPerCm: random.between(6000, 7000),
    greyShare: random.between(0.05, 0.13),
    surfaceReflectance: cotton ? random.between(0.012, 0.022) : random.between(0.007, 0.012),
    stainDensity: random.between(0, 0.04),
    paperReflectance: random.between(0.8, 0.92),
    paperWarmth: random.between(0.02, 0.12),
  };
}

/** How the coating answers to light; cotton is slower and reaches less blue. */
function randomResponse(
  random: Random,
  { pigment, seed, cotton, wishes }: { pigment: Pigment; seed: number; cotton: boolean; wishes: SceneWishes },
): Response {
  const redDensity = wishes.mostRedDensity ?? (cotton ? random.between(0.85, 1.15) : random.between(1.15, 1.5));
  const stops = cotton ? 0.2 : 0;
  return {
    shape: random.pick(["weibull", "double-normal", "slow-shoulder"] as const),
    most: pigmentForRed(pigment, seed, redDensity),
    middleLogH: random.between(1.5, 2.3) + stops,
    steepness: random.between(0.8, 1.25),
    reversalShare: (wishes.reversal ?? false) ? random.between(0.12, 0.25) : 0,
    reversalFromLogH: random.between(0.45, 0.7),
  };
}

/** Tooth and weave of the support; paper has no weave. */
function randomTexture(random: Random, cotton: boolean) {
  return {
    toothShare: random.between(0.004, 0.015),
    threadMm: random.between(0.45, 0.9),
    weaveShare: cotton ? random.between(0.04, 0.12) : 0,
    weavePigmentShare: cotton ? random.between(0.02, 0.1) : 0,
  };
}

function randomPrint(random: Random, seed: number, wishes: SceneWishes, clutter: boolean): StripPrint {
  const cotton = wishes.kind === "cotton";
  const tablet = wishes.tablet ?? random.pick(tablets);
  const pigment = randomPigment(random, cotton);
  const response = randomResponse(random, { pigment, seed, cotton, wishes });
  const inputs = filmDensities(tablet);
  const range = inputs.at(-1)! - inputs[0]!;
  const shoulder = shoulderLogH(response);
  // Leave enough tablet on both sides of the shoulder, unless a bad test is wished for.
  const toShoulder = {
    well: Math.min(random.between(0.45, 0.9), range * 0.4),
    under: random.between(-0.45, -0.15),
    over: range * 0.8 + random.between(0.1, 0.4),
  }[wishes.exposed ?? "well"];
  const exposureSeconds = Math.round(10 ** (shoulder + inputs[0]! + toShoulder));
  const nominalLogH =
    tablet.kind === "timed"
      ? tablet.seconds.map((seconds) => Math.log10(seconds))
      : inputs.map((density) => Math.log10(exposureSeconds) - density);
  const toleranceDensity = tablet.kind === "transmission" && "densities" in tablet ? 0.008 : 0.015;
  const logH = nominalLogH.map((value) => value + toleranceDensity * random.normal());
  const lengthMm = random.between(105, 150);
  const blue = clutter ? random.chance(0.45) : false;
  const border = (): number => random.between(6, 22);
  const sheet = (): number => random.between(blue ? 30 : 12, 45);
  return {
    tablet,
    exposureSeconds,
    logH,
    nominalLogH,
    lengthMm,
    widthMm: random.between(12, 22),
    boundaries: stretchedBoundaries(inputs.length, cotton ? random.between(0.005, 0.02) : 0, random),
    response,
    pigment,
    support: cotton ? "cotton" : "paper",
    surround: blue ? "blue" : "white",
    coatedBorderMm: [border(), border(), border(), border()],
    brushMm: random.chance(0.6) ? random.between(0.5, 2) : 0,
    cloudShare: random.between(0.003, clutter ? 0.012 : 0.006),
    cloudMm: random.between(1.2, 4),
    streakShare: random.between(0, clutter ? 0.01 : 0.004),
    ...randomTexture(random, cotton),
    sheetBorderMm: [sheet(), sheet(), sheet(), sheet()],
    tableRgb: random.pick([
      [0.22, 0.13, 0.07],
      [0.03, 0.03, 0.035],
      [0.3, 0.3, 0.31],
      [0.45, 0.36, 0.26],
      [0.1, 0.14, 0.12],
    ] as const),
    dividerPigmentShare: clutter && random.chance(0.15) ? random.between(0.75, 1.15) : null,
  };
}

/** Densities of what lay over each step; a timed strip counts as film that holds back the missing time. */
export function filmDensities(tablet: Tablet): number[] {
  switch (tablet.kind) {
    case "transmission":
      return "densities" in tablet
        ? [...tablet.densities]
        : Array.from({ length: tablet.steps }, (_, index) => tablet.firstDensity + index * tablet.increment);
    case "timed":
      return tablet.seconds.map((seconds) => Math.log10(tablet.seconds[0]! / seconds));
    case "levels":
      // An invented film and printer: nearly clear at level 0, dense at 255, bent in between.
      return tablet.levels.map(
        (level) => 0.08 + 1.75 * (level / 255) ** 1.7 + 0.12 * Math.sin((Math.PI * level) / 255),
      );
    case "sheet":
      throw new RangeError("the strip renderer makes no sheets");
  }
}

function pigmentForRed(pigment: Pigment, seed: number, redDensity: number): number {
  const eye = cameraEye(seededRandom(seed * 11 + 5));
  const redOf = (amount: number): number => colourOf(printReflectances(pigment, amount), eye)[0];
  const paper = redOf(0);
  let [low, high] = [0, 4];
  for (let round = 0; round < 30; round++) {
    const middle = (low + high) / 2;
    const red = redOf(middle);
    if (red > 0 && -Math.log10(red / paper) < redDensity) low = middle;
    else high = middle;
  }
  return low;
}

/** Roughly where the pigment reaches 90 %; only to choose an exposure. */
function shoulderLogH(response: Response): number {
  const plain = { ...response, reversalShare: 0 };
  let [low, high] = [response.middleLogH - 3, response.middleLogH + 3];
  for (let round = 0; round < 30; round++) {
    const middle = (low + high) / 2;
    if (pigmentAt(plain, middle) < 0.93 * response.most) low = middle;
    else high = middle;
  }
  return low;
}

function stretchedBoundaries(count: number, most: number, random: Random): number[] {
  const bow = most * random.between(-1, 1);
  const wave = most * random.between(-0.5, 0.5);
  return Array.from({ length: count + 1 }, (_, index) => {
    const share = index / count;
    return share + bow * 4 * share * (1 - share) * 0.5 + wave * Math.sin(2 * Math.PI * share);
  });
}

/** Size of the picture, either way up, and how the strip lies in it. */
function randomFrame(random: Random, wishes: SceneWishes): Pick<Camera, "widthPx" | "heightPx" | "turnDegrees"> {
  const megapixels = wishes.megapixels ?? random.between(2, 8);
  const aspect = random.pick(wishes.kind === "scan" ? [1.41, 1.29, 1.8] : [4 / 3, 4 / 3, 1.5, 16 / 9]);
  const landscape = random.chance(0.6);
  const long = Math.round(Math.sqrt(megapixels * 1e6 * aspect));
  const short = Math.round(long / aspect);
  const [widthPx, heightPx] = landscape ? [long, short] : [short, long];
  const level = random.pick(landscape ? [0, 0, 180] : [90, 90, 270]);
  const turnDegrees = (wishes.anyTurn ?? true) ? random.between(0, 360) : level + random.between(-4, 4);
  return { widthPx, heightPx, turnDegrees };
}

function randomCamera(random: Random, wishes: SceneWishes, print: StripPrint): Camera {
  const scan = wishes.kind === "scan";
  const frame = randomFrame(random, wishes);
  const tiltDegrees = scan ? 0 : random.between(0, wishes.mostTiltDegrees ?? 25);
  const draft: Camera = {
    kind: scan ? "scan" : "photo",
    ...frame,
    tiltDegrees,
    leanDegrees: random.between(0, 360),
    stripPx: 1,
    aim: [0.5 + random.between(-0.04, 0.04), 0.5 + random.between(-0.04, 0.04)],
    focalShare: random.between(0.75, 1.1),
    whiteLevel: random.between(0.68, 0.9),
    gains: [random.between(0.95, 1.04), 1, random.between(0.93, 1.05)],
    fallOffShare: scan ? random.between(0, 0.03) : random.between(0.03, wishes.mostFallOffShare ?? 0.3),
    fallOffDegrees: random.between(0, 360),
    vignetteShare: scan ? 0 : random.between(0.2, 0.8),
    blurPx: scan ? random.between(0.5, 0.9) : random.between(0.7, 1.8),
    readNoise: scan ? 0.0008 : random.between(0.0008, 0.002),
    shotNoise: scan ? 0.003 : random.between(0.004, 0.012),
    sharpenAmount: scan ? 0 : random.between(0, 0.7),
    sharpenPx: random.between(0.8, 1.6),
    flareShare: wishes.kind === "toned-photo" ? random.between(0.004, 0.02) : 0,
    toneBend: wishes.kind === "toned-photo" ? random.between(0.15, 0.4) : 0,
  };
  return { ...draft, stripPx: stripThatFits(draft, print, random.between(0.6, 0.88)) };
}

/** Longest strip, in pixels, whose corners stay within the given share of the frame. */
function stripThatFits(draft: Camera, print: StripPrint, share: number): number {
  let [low, high] = [50, 3 * Math.max(draft.widthPx, draft.heightPx)];
  for (let round = 0; round < 30; round++) {
    const stripPx = (low + high) / 2;
    const pose = poseOf({ ...draft, stripPx }, print.lengthMm, print.widthMm);
    const fits = [
      [0, 0],
      [print.lengthMm, 0],
      [print.lengthMm, print.widthMm],
      [0, print.widthMm],
    ].every(([x, y]) => {
      const [px, py] = project(pose, x!, y!);
      return (
        Math.abs(px - draft.widthPx / 2) < (share * draft.widthPx) / 2 &&
        Math.abs(py - draft.heightPx / 2) < (share * draft.heightPx) / 2
      );
    });
    if (fits && inverse(pose).every(Number.isFinite)) low = stripPx;
    else high = stripPx;
  }
  return low;
}

function randomFile(random: Random, kind: SceneKind): FileKind {
  if (kind === "scan") {
    const format = random.pick(["tiff", "png", "jpeg"] as const);
    return { format, bits: format === "jpeg" ? 8 : 16, quality: 95, chroma: "4:4:4", orientation: 1 };
  }
  return {
    format: "jpeg",
    bits: 8,
    quality: random.whole(82, 96),
    chroma: random.pick(["4:2:0", "4:2:0", "4:4:4"] as const),
    orientation: random.pick([1, 1, 6, 8, 3] as const),
  };
}
