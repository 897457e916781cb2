// What else lies in the frame: beside the print, and now and then on it.
import type { Random } from "./random.ts";
import type { StripPrint, Thing } from "./scene.ts";

/**
 * Six neutral patches along the far side of the strip, on a pale card, as reference scales have. Absolute densities.
 */
export function referencePatches(print: StripPrint, random: Random): { things: Thing[]; densities: number[] } {
  const densities = [0.05, 0.23, 0.44, 0.7, 1.05, 1.5];
  const sizeMm = random.between(9, 12);
  const pitchMm = sizeMm + 3;
  const y =
    print.widthMm + (print.surround === "blue" ? print.coatedBorderMm[3] + 3 * print.brushMm : 0) + sizeMm / 2 + 8;
  const start = print.lengthMm / 2 - 2.5 * pitchMm;
  const flat = { shape: "rectangle", turnedDegrees: 0, ticksMm: 0 } as const;
  const card: Thing = {
    ...flat,
    name: "card",
    centreMm: [print.lengthMm / 2, y],
    sizeMm: [6 * pitchMm + 6, sizeMm + 8],
    rgb: [0.7, 0.7, 0.7],
  };
  const patches = densities.map((density, index): Thing => {
    const level = 10 ** -density;
    return {
      ...flat,
      name: "reference-patch",
      centreMm: [start + index * pitchMm, y],
      sizeMm: [sizeMm, sizeMm],
      rgb: [level, level, level],
    };
  });
  return { things: [card, ...patches], densities };
}

/** A ruler, coin or pencil beside the coating; a sticker, hair or specks on the print. */
export function randomThings(print: StripPrint, random: Random): Thing[] {
  const clearMm = (print.surround === "blue" ? Math.max(...print.coatedBorderMm) + 3 * print.brushMm : 0) + 6;
  const things: Thing[] = [];
  const above = -clearMm;
  const plain = { shape: "rectangle", turnedDegrees: 0, ticksMm: 0 } as const;
  if (random.chance(0.3)) {
    things.push({
      ...plain,
      name: "ruler",
      centreMm: [print.lengthMm / 2, above - 14],
      sizeMm: [print.lengthMm * 1.3, 24],
      turnedDegrees: random.between(-3, 3),
      rgb: random.pick([
        [0.75, 0.7, 0.45],
        [0.6, 0.6, 0.6],
      ] as const),
      ticksMm: 1,
    });
  } else if (random.chance(0.4)) {
    things.push({
      ...plain,
      name: "pencil",
      centreMm: [print.lengthMm * random.next(), above - 12],
      sizeMm: [120, 7],
      turnedDegrees: random.between(-8, 8),
      rgb: random.pick([
        [0.6, 0.35, 0.02],
        [0.3, 0.02, 0.03],
        [0.02, 0.08, 0.02],
      ] as const),
    });
  }
  if (random.chance(0.3)) {
    const size = random.between(18, 27);
    things.push({
      ...plain,
      shape: "disc",
      name: "coin",
      centreMm: [-clearMm - size / 2 - 2, print.widthMm * random.between(-0.5, 1)],
      sizeMm: [size, size],
      rgb: [0.35, 0.28, 0.16],
    });
  }
  if (random.chance(0.25)) {
    const step = random.whole(0, print.logH.length - 1);
    const x = ((print.boundaries[step]! + print.boundaries[step + 1]!) / 2) * print.lengthMm;
    const stepMm = print.lengthMm / print.logH.length;
    things.push({
      ...plain,
      name: "sticker",
      centreMm: [x, print.widthMm * random.between(0.1, 0.9)],
      sizeMm: [stepMm * random.between(0.6, 1.1), print.widthMm * random.between(0.25, 0.6)],
      turnedDegrees: random.between(-15, 15),
      rgb: random.pick([
        [0.85, 0.85, 0.83],
        [0.8, 0.2, 0.1],
        [0.7, 0.65, 0.1],
      ] as const),
    });
  }
  if (random.chance(0.3)) {
    things.push({
      ...plain,
      shape: "line",
      name: "hair",
      centreMm: [print.lengthMm * random.next(), print.widthMm * random.next()],
      sizeMm: [random.between(20, 60), random.between(3, 12)],
      turnedDegrees: random.between(0, 180),
      rgb: [0.03, 0.025, 0.02],
    });
  }
  const specks = random.chance(0.6) ? random.whole(5, 40) : 0;
  for (let index = 0; index < specks; index++) {
    const size = random.between(0.15, 0.7);
    const level = random.chance(0.5) ? 0.8 : 0.03;
    things.push({
      ...plain,
      shape: "disc",
      name: "speck",
      centreMm: [random.between(-15, print.lengthMm + 15), random.between(-15, print.widthMm + 15)],
      sizeMm: [size, size * random.between(0.6, 1)],
      turnedDegrees: random.between(0, 180),
      rgb: [level, level, level],
    });
  }
  return things;
}
