// What is usual of lamps and beds before anything was measured, and one lamp drawn by it. All numbers here are common
// practice, no source: our own judgement of boxes, chosen wide, since what was measured narrows them.
import type { Random } from "#shared/statistics/random.ts";

/** A size that is known to a factor: its median, and the factor that one standard deviation makes. */
interface Usual {
  readonly median: number;
  readonly factor: number;
}

/** Distance where nobody noted one, as a share of the lamp's smaller side; of a single lamp, of the bed's width. */
export const usualDistances = {
  field: { median: 0.25, factor: 1.6 },
  point: { median: 1.2, factor: 1.6 },
} as const;
/** A noted distance and size are rulers' work: a factor of a standard deviation. */
export const notedFactor = 1.03;
/** A lamp of unknown size reaches so far beyond the bed, as multiples of it. */
export const beyondBed = { least: 1, most: 1.25 } as const;
/** Numbers of tubes where nobody counted them. */
export const usualTubes = { least: 4, most: 14 } as const;
/**
 * Diodes along the lamp's longer side, half as many as likely as twice as many, and how the pitch the other way may
 * differ.
 */
export const usualDiodes = { least: 4, most: 16, pitchFactor: 1.6, fewest: 3 } as const;
/** Fields to a side of an even panel, whose strength may differ. */
export const panelFieldsToSide = 4;
/** Even light that walls, reflectors and glass throw beside the lamp's own on the middle: shares of it. */
export const usualStray = { field: 0.5, point: 0.2 } as const;

/** One tube in so many lamps is far weaker than the others, by what is left of its light. */
const weakTube = { chance: 0.3, least: 0.3, most: 0.9 } as const;
/** Diodes die one by one, in so many panels at all and then up to so many; a string of them may be weak as a whole. */
const deadDiodes = { chance: 0.6, most: 4 } as const;
const weakString = { chance: 0.25, least: 0.5, most: 0.95 } as const;

export const drawnUsual = (random: Random, { median, factor }: Usual): number => median * factor ** random.normal();

export const drawnBetween = (random: Random, { least, most }: { readonly least: number; readonly most: number }) =>
  least + (most - least) * random.uniform();

export const drawnWhole = (random: Random, { least, most }: { readonly least: number; readonly most: number }) =>
  least + Math.floor((most - least + 1) * random.uniform());

/** What is left of each tube's light, 0-1. */
export function drawnTubes(random: Random, count: number): number[] {
  const left = new Array<number>(count).fill(1);
  if (random.uniform() < weakTube.chance) left[Math.floor(count * random.uniform())] = drawnBetween(random, weakTube);
  return left;
}

/** What is left of each diode's light, row by row, 0-1. */
export function drawnDiodes(random: Random, { columns, rows }: { columns: number; rows: number }): number[] {
  const left = new Array<number>(columns * rows).fill(1);
  if (random.uniform() < weakString.chance) {
    const isRow = random.uniform() < 0.5;
    const at = Math.floor((isRow ? rows : columns) * random.uniform());
    const share = drawnBetween(random, weakString);
    for (let i = 0; i < left.length; i++) if ((isRow ? Math.floor(i / columns) : i % columns) === at) left[i] = share;
  }
  if (random.uniform() < deadDiodes.chance)
    for (let dead = drawnWhole(random, { least: 1, most: deadDiodes.most }); dead > 0; dead--)
      left[Math.floor(left.length * random.uniform())] = 0;
  return left;
}
