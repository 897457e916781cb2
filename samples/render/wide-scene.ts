// Scenes as other people's pictures are: other tablets, brushes, tables, cameras and ways of sending a picture.
import type { Tablet } from "#shared/schema/reading.ts";
import { cameraEye, colourTable } from "./colour.ts";
import { cornersOf } from "./render-scene.ts";
import { bentPoint } from "./lens.ts";
import { poseOf } from "./pose.ts";
import { seededRandom, type Random } from "./random.ts";
import { randomScene, sceneKinds, type SceneWishes } from "./random-scene.ts";
import { pigmentAt } from "./response.ts";
import type { Camera, FileKind, PrintMarks, Scene, StripPrint, Thing } from "./scene.ts";

/** A scene of the wished kind in which anything may happen that others' pictures hold; repeats with seed and wishes. */
export function wideScene(seed: number, wishes: SceneWishes): Scene {
  const random = seededRandom(seed * 211 + 29 * (1 + sceneKinds.indexOf(wishes.kind)));
  const tablet = wishes.tablet ?? randomTablet(random);
  const isPale = random.chance(0.12);
  const draft = randomScene(seed, {
    ...wishes,
    tablet,
    ...(isPale ? { mostRedDensity: random.between(0.4, 0.75) } : {}),
    megapixels: wishes.megapixels ?? random.between(1, 3),
    exposed: wishes.exposed ?? (random.chance(0.9) ? "well" : random.pick(["over", "under"] as const)),
  });
  const print = widePrint(random, draft.print);
  const camera = wideCamera(random, draft.camera, print);
  return {
    ...draft,
    name: `wide-${draft.name}`,
    print,
    camera,
    things: [
      ...draft.things
        .filter(({ name }) => name !== "sticker" || random.chance(0.5))
        .map((thing) => besideStill(thing, draft.print, print)),
      ...moreThings(random, draft.seed, print),
    ],
    file: draft.kind === "scan" ? draft.file : wideFile(random, draft.file),
  };
}

/** What lay beyond the strip's far side or its pale end lies as far beyond those of a strip of another size. */
function besideStill(thing: Thing, before: StripPrint, now: StripPrint): Thing {
  const [x, y] = thing.centreMm;
  return {
    ...thing,
    centreMm: [
      x > before.lengthMm ? x + now.lengthMm - before.lengthMm : x,
      y > before.widthMm ? y + now.widthMm - before.widthMm : y,
    ],
  };
}

function randomTablet(random: Random): Tablet {
  const [steps, increment] = random.pick([
    [7, 0.3],
    [9, 0.3],
    [10, 0.3],
    [11, 0.3],
    [13, 0.2],
    [16, 0.2],
    [21, 0.15],
    [21, 0.15],
    [31, 0.1],
    [31, 0.1],
    [41, 0.05],
  ] as const);
  return { kind: "transmission", steps, increment, firstDensity: 0.05 };
}

const tables = [
  { rgb: [0.03, 0.15, 0.1], grid: [0.25, 0.33, 0.27], grain: [0.12, 25, 25] },
  { rgb: [0.02, 0.1, 0.09], grid: [0.35, 0.36, 0.2], grain: [0.1, 15, 15] },
  { rgb: [0.08, 0.09, 0.1], grid: [0.3, 0.3, 0.3], grain: [0.06, 20, 20] },
  { rgb: [0.3, 0.17, 0.08], grid: null, grain: [0.25, 90, 5] },
  { rgb: [0.62, 0.6, 0.57], grid: null, grain: [0.08, 12, 12] },
  { rgb: [0.05, 0.08, 0.2], grid: null, grain: [0.3, 1.5, 1.5] },
  { rgb: [0.03, 0.03, 0.035], grid: null, grain: [0.2, 20, 20] },
  { rgb: [0.4, 0.38, 0.33], grid: null, grain: [0.1, 8, 8] },
] as const;

function widePrint(random: Random, print: StripPrint): StripPrint {
  const table = random.pick(tables);
  const isBlue = random.chance(0.6);
  const isTorn = isBlue && random.chance(0.4);
  const marks: PrintMarks = {
    line: random.chance(0.3)
      ? { pigmentShare: random.pick([0, 0, 0.05, 0.9]), widthMm: random.between(0.25, 0.7) }
      : null,
    numbers: random.chance(0.3)
      ? { heightShare: random.between(0.15, 0.35), across: random.pick([0, 0.05, 0.5, 1]) }
      : null,
    lobesMm: isTorn ? random.between(4, 10) : null,
    grid: table.grid === null ? null : { spacingMm: random.pick([10, 12.7, 25.4]), rgb: table.grid },
    tableGrain: { share: table.grain[0], lengthMm: table.grain[1], widthMm: table.grain[2] },
  };
  const border = () => (isTorn ? random.between(3, 8) : random.between(4, 25));
  return {
    ...print,
    surround: isBlue ? "blue" : "white",
    coatedBorderMm: [border(), border(), border(), border()],
    brushMm: isTorn ? random.between(1.5, 4) : random.between(0, 2),
    widthMm: random.between(8, 26),
    lengthMm: random.between(90, 160),
    sheetBorderMm: print.sheetBorderMm.map((side) => side + random.between(0, 30)) as [number, number, number, number],
    tableRgb: table.rgb,
    dividerPigmentShare: null,
    marks,
  };
}

/** Mostly held nearly flat, one time in five far from it. */
function wideTilt(random: Random): number {
  return random.chance(0.2) ? random.between(20, 35) : random.between(0, 20);
}

function wideCamera(random: Random, draft: Camera, print: StripPrint): Camera {
  const isScan = draft.kind === "scan";
  const fitted: Camera = {
    ...draft,
    tiltDegrees: isScan ? 0 : wideTilt(random),
    aim: [random.between(0.2, 0.8), random.between(0.2, 0.8)],
    gains: isScan ? draft.gains : [random.between(0.78, 1.05), random.between(0.9, 1), random.between(0.78, 1.05)],
    ...(isScan || random.chance(0.5) ? {} : { lensBend: random.between(-0.025, 0.025) }),
    ...(isScan || random.chance(0.85)
      ? {}
      : {
          shadow: {
            atMm: [random.between(0, print.lengthMm), random.between(-10, print.widthMm + 10)] as const,
            turnedDegrees: random.between(0, 360),
            softMm: random.between(1, 8),
            light: random.between(0.4, 0.75),
          },
        }),
  };
  // As large as the picture holds with its middle there, then anything from an eighth of the longer side.
  const long = Math.max(fitted.widthPx, fitted.heightPx);
  let [low, high] = [20, 2 * long];
  for (let round = 0; round < 30; round++) {
    const stripPx = (low + high) / 2;
    const corners = cornersOf(
      poseOf({ ...fitted, stripPx }, print.lengthMm, print.widthMm),
      print.lengthMm,
      print.widthMm,
    );
    const isInside = corners.every((corner) => {
      const [x, y] = bentPoint(fitted, corner);
      return x > 4 && y > 4 && x < fitted.widthPx - 4 && y < fitted.heightPx - 4;
    });
    if (isInside) low = stripPx;
    else high = stripPx;
  }
  // Steps narrower than this many pixels cannot be measured, whoever finds them.
  const least = Math.max(0.12 * long, 11 * print.logH.length);
  return {
    ...fitted,
    stripPx: low <= least ? low : random.between(Math.max(least, random.chance(0.8) ? 0.45 * low : 0), low),
  };
}

function wideFile(random: Random, file: FileKind): FileKind {
  if (!random.chance(0.3)) return file;
  // As messengers send pictures.
  return { ...file, quality: random.whole(55, 75), chroma: "4:2:0" };
}

/** A second, smaller print of other steps, and a chart of colours, somewhere on the table. */
function moreThings(random: Random, seed: number, print: StripPrint): Thing[] {
  const things: Thing[] = [];
  const clearMm = Math.max(...print.coatedBorderMm) + 4 * print.brushMm + 12;
  const below = print.widthMm + Math.max(clearMm, print.sheetBorderMm[3]);
  const plain = { shape: "rectangle", ticksMm: 0 } as const;
  if (random.chance(0.25)) {
    const { rgb, indexOf } = colourTable(print.pigment, cameraEye(seededRandom(seed * 11 + 5)));
    const bands = random.whole(3, 7);
    const sizeMm = [random.between(25, 50), random.between(9, 16)] as const;
    const colour = (amount: number) => {
      const at = indexOf(amount);
      return [rgb[at]!, rgb[at + 1]!, rgb[at + 2]!] as const;
    };
    things.push({
      ...plain,
      name: "second-print",
      centreMm: [random.between(0, print.lengthMm), below + sizeMm[0] / 2 + 4],
      sizeMm,
      turnedDegrees: random.between(-25, 25),
      rgb: colour(0),
      bandsRgb: Array.from({ length: bands }, (_, i) =>
        colour(pigmentAt(print.response, print.response.middleLogH + 0.9 - (2 * i) / bands)),
      ),
    });
  }
  if (random.chance(0.25)) {
    things.push({
      ...plain,
      name: "colour-chart",
      centreMm: [print.lengthMm * random.next(), -clearMm - random.between(12, 30)],
      sizeMm: [random.between(40, 70), random.between(14, 22)],
      turnedDegrees: random.between(-40, 40),
      rgb: [0.75, 0.75, 0.75],
      bandsRgb: Array.from({ length: 6 }, (_, i) => {
        if (random.chance(0.5)) return [0.7 * 0.55 ** i, 0.7 * 0.55 ** i, 0.7 * 0.55 ** i] as const;
        return [random.between(0.03, 0.7), random.between(0.03, 0.7), random.between(0.03, 0.7)] as const;
      }),
    });
  }
  return things;
}
