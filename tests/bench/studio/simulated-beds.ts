// Invented boxes whose light over the bed is known: worn tubes, diodes with dead ones, single lamps, even beds.
import { plannedPlaces } from "#shared/evenness/planned-places.ts";
import type { MeasuredPlace } from "#shared/evenness/drawn-light.ts";
import type { KnownLamp } from "#shared/evenness/lamp-over-bed.ts";
import { seededRandom, type Random } from "#shared/statistics/random.ts";

export const bedKinds = ["worn tubes", "diodes, some dead", "a single lamp", "an even bed"] as const;
export type BedKind = (typeof bedKinds)[number];

export interface SimulatedBed {
  readonly bed: { readonly widthMm: number; readonly heightMm: number };
  /** As its owner describes it. */
  readonly lamp: KnownLamp;
  readonly tablets: readonly MeasuredPlace[];
  /** Strongest less weakest of the bed's cells [stops]. */
  readonly worstToBestStops: number;
  /** [stops] */
  readonly light: (x: number, y: number) => number;
}

/** A tablet's light: coating, and what its steps tell [stops]. */
const tabletSigma = 0.035;
const cells = 24;

type Light = (acrossMm: number, downMm: number) => number;

export function simulatedBed(kind: BedKind, count: number, seed: number): SimulatedBed {
  const random = seededRandom(seed);
  const between = (low: number, high: number): number => low + (high - low) * random.uniform();
  const bed = { widthMm: between(300, 700), heightMm: between(220, 500) };
  const { lamp, direct } = lampOf(kind, bed, random);
  const stray = kind === "a single lamp" ? between(0, 0.1) : between(0.05, 0.5);
  const middle = direct(0, 0);
  const light = (x: number, y: number): number =>
    Math.log2(direct((x - 0.5) * bed.widthMm, (y - 0.5) * bed.heightMm) + stray * middle);
  const values = Array.from({ length: cells ** 2 }, (_, i) =>
    light(((i % cells) + 0.5) / cells, (Math.floor(i / cells) + 0.5) / cells),
  );
  return {
    bed,
    lamp,
    light,
    worstToBestStops: Math.max(...values) - Math.min(...values),
    tablets: plannedPlaces(count).map(({ x, y }) => ({
      x,
      y,
      stops: light(x, y) + tabletSigma * random.normal(),
      sigmaStops: tabletSigma,
    })),
  };
}

function lampOf(
  kind: BedKind,
  { widthMm, heightMm }: SimulatedBed["bed"],
  random: Random,
): { lamp: KnownLamp; direct: Light } {
  const between = (low: number, high: number): number => low + (high - low) * random.uniform();
  const size = { widthMm: widthMm * between(1, 1.2), heightMm: heightMm * between(1, 1.25) };
  switch (kind) {
    case "worn tubes": {
      const count = Math.round(between(5, 12));
      const distanceMm = between(50, 140);
      const outputs = Array.from({ length: count }, () => between(0.75, 1));
      if (random.uniform() < 0.3) outputs[Math.floor(count * random.uniform())] = between(0.4, 0.7);
      const direct: Light = (across, down) =>
        outputs.reduce((sum, output, n) => {
          const beside = across - (n - (count - 1) / 2) * (size.widthMm / count);
          const away = Math.hypot(distanceMm, beside);
          let light = 0;
          for (let piece = 0; piece < 40; piece++) {
            const along = ((piece + 0.5) / 40 - 0.5) * size.heightMm - down;
            light += (distanceMm * away) / (away ** 2 + along ** 2) ** 2;
          }
          return sum + output * light;
        }, 0);
      return { lamp: { kind: "tubes", ...size, distanceMm, tubeCount: count }, direct };
    }
    case "diodes, some dead": {
      const [columns, rows] = [Math.round(between(6, 12)), Math.round(between(4, 9))];
      const distanceMm = between(70, 170);
      const weakRow = random.uniform() < 0.25 ? Math.floor(rows * random.uniform()) : -1;
      const outputs = Array.from(
        { length: columns * rows },
        (_, i) => (1 + 0.05 * random.normal()) * (Math.floor(i / columns) === weakRow ? between(0.7, 0.9) : 1),
      );
      for (let dead = Math.floor(4 * random.uniform()); dead > 0; dead--)
        outputs[Math.floor(outputs.length * random.uniform())] = 0;
      const direct: Light = (across, down) =>
        outputs.reduce((sum, output, i) => {
          const x = across - ((i % columns) + 0.5 - columns / 2) * (size.widthMm / columns);
          const y = down - (Math.floor(i / columns) + 0.5 - rows / 2) * (size.heightMm / rows);
          return sum + (output * distanceMm ** 2) / (distanceMm ** 2 + x ** 2 + y ** 2) ** 2;
        }, 0);
      return { lamp: { kind: "led", ...size, distanceMm }, direct };
    }
    case "a single lamp": {
      const distanceMm = widthMm * between(0.8, 1.8);
      const [offX, offY] = [widthMm * 0.08 * random.normal(), heightMm * 0.08 * random.normal()];
      const direct: Light = (across, down) =>
        distanceMm / (distanceMm ** 2 + (across - offX) ** 2 + (down - offY) ** 2) ** 1.5;
      return { lamp: { kind: "point", distanceMm }, direct };
    }
    case "an even bed": {
      const [across, down] = [0.02 * random.normal(), 0.02 * random.normal()];
      return {
        lamp: { kind: "panel", widthMm: 3 * widthMm, heightMm: 3 * heightMm, distanceMm: 0.4 * widthMm },
        direct: (x, y) => 1 + (across * x) / widthMm + (down * y) / heightMm,
      };
    }
  }
}
