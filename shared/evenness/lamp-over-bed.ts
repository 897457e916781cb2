// How the light of a lamp may fall over a bed, before anything was measured: by the lamp's own geometry.
import { pointAt } from "#shared/lamp/lamp-geometry.ts";
import type { Lamp } from "#shared/schema/materials.ts";
import type { Random } from "#shared/statistics/random.ts";
import { diodesOver, panelOver, tubesOver, type PartLights, type UnderLamp } from "./lamp-parts.ts";
import {
  beyondBed,
  drawnBetween,
  drawnDiodes,
  drawnTubes,
  drawnUsual,
  drawnWhole,
  notedFactor,
  panelFieldsToSide,
  usualDiodes,
  usualDistances,
  usualStray,
  usualTubes,
} from "./usual-lamps.ts";

/** A place of the bed: shares of its width and depth, from the back left corner. */
export interface BedPlace {
  readonly x: number;
  readonly y: number;
}

/** One way in which light may fall. */
export interface FallOff {
  /** Even light beside the lamp's own, as a share of that on the middle of the bed. */
  readonly strayShare: number;
  /** Parts of the lamp whose strength may differ; 0 of one in one piece. */
  readonly partCount: number;
  /** Irradiance on the middle of the bed, in the unit of `at`. */
  readonly middleLight: number;
  /** Irradiance at a place [any unit], and the share of each part in it; what is missing to 1 is stray light. */
  readonly at: (place: BedPlace) => { readonly light: number; readonly parts: readonly number[] };
}

/** A lamp as far as it is known. */
export type KnownLamp = Pick<Lamp, "kind"> & Partial<Pick<Lamp, "widthMm" | "heightMm" | "distanceMm" | "tubeCount">>;

/** Kinds that are alike likely where nothing is known. */
const anyKind = ["point", "tubes", "led", "panel"] as const;

type FieldKind = "tubes" | "led" | "panel";

/** Width and height [mm]. */
interface Size {
  readonly width: number;
  readonly height: number;
}

/**
 * One plausible way in which the light of a lamp falls over a bed under its middle: what is not known is drawn.
 * @param lamp null where nothing is known of it
 * @param bed its size [mm], null where nobody said: then it is as large as the lamp, or square
 * Source: LambertianFactors.
 */
export function drawnFallOff(
  lamp: KnownLamp | null,
  bed: { readonly widthMm: number; readonly heightMm: number } | null,
  random: Random,
): FallOff {
  const kind = drawnKind(lamp, random);
  const size = bedSize(lamp, bed);
  const under = (place: BedPlace): UnderLamp => ({
    across: (place.x - 0.5) * size.width,
    down: (place.y - 0.5) * size.height,
  });
  if (kind === "point") {
    const distance = drawnDistance(lamp, { usual: usualDistances.point, of: size.width }, random);
    const lights: PartLights = ({ across, down }) => [pointAt(distance, Math.hypot(across, down))];
    return inOnePiece(withStray((place) => lights(under(place)), usualStray.point * random.uniform()));
  }
  const lights = fieldOver(kind, { lamp, bed: size }, random);
  return withStray((place) => lights(under(place)), usualStray.field * random.uniform());
}

function drawnKind(lamp: KnownLamp | null, random: Random): FieldKind | "point" {
  switch (lamp?.kind) {
    case "point":
    case "tubes":
    case "led":
    case "panel":
      return lamp.kind;
    default:
      return anyKind[drawnWhole(random, { least: 0, most: anyKind.length - 1 })]!;
  }
}

/** Light of the parts of a lamp that is as large as the bed or so. */
function fieldOver(
  kind: FieldKind,
  { lamp, bed }: { readonly lamp: KnownLamp | null; readonly bed: Size },
  random: Random,
): PartLights {
  const size = {
    width: drawnSide(lamp?.widthMm, bed.width, random),
    height: drawnSide(lamp?.heightMm, bed.height, random),
  };
  const of = Math.min(size.width, size.height);
  const over = { ...size, distance: drawnDistance(lamp, { usual: usualDistances.field, of }, random) };
  switch (kind) {
    case "tubes": {
      const left = drawnTubes(random, lamp?.tubeCount ?? drawnWhole(random, usualTubes));
      return tubesOver({ ...over, lie: random.uniform() < 0.5 ? "across" : "down", left });
    }
    case "led": {
      const grid = drawnGrid(size, random);
      return diodesOver({ ...over, columns: grid.columns, left: drawnDiodes(random, grid) });
    }
    case "panel":
      return panelOver({ ...over, toSide: panelFieldsToSide });
  }
}

/** Columns and rows of diodes, about as far apart one way as the other. */
function drawnGrid({ width, height }: Size, random: Random): { columns: number; rows: number } {
  const { least, most, fewest, pitchFactor } = usualDiodes;
  const along = Math.round(least * (most / least) ** random.uniform());
  const pitch = Math.max(width, height) / along;
  const beside = Math.max(fewest, Math.round((Math.min(width, height) / pitch) * pitchFactor ** random.normal()));
  const other = Math.min(most, beside);
  return width >= height ? { columns: along, rows: other } : { columns: other, rows: along };
}

/** The light with an even one added, of this share of what falls on the middle. */
function withStray(lightsAt: (place: BedPlace) => number[], strayShare: number): FallOff {
  const middle = lightsAt({ x: 0.5, y: 0.5 });
  const even = strayShare * sumOf(middle);
  return {
    strayShare,
    partCount: middle.length,
    middleLight: sumOf(middle) + even,
    at(place) {
      const parts = lightsAt(place);
      const light = sumOf(parts) + even;
      for (let i = 0; i < parts.length; i++) parts[i]! /= light;
      return { light, parts };
    },
  };
}

function inOnePiece({ at, ...fallOff }: FallOff): FallOff {
  return { ...fallOff, partCount: 0, at: (place) => ({ light: at(place).light, parts: [] }) };
}

function sumOf(values: readonly number[]): number {
  let sum = 0;
  for (const value of values) sum += value;
  return sum;
}

/** The bed's size, as the lamp's where it is not known [mm]. */
function bedSize(lamp: KnownLamp | null, bed: { widthMm: number; heightMm: number } | null): Size {
  const lampWidth = lamp?.widthMm ?? null;
  const width = bed?.widthMm ?? lampWidth ?? 100;
  return { width, height: bed?.heightMm ?? lamp?.heightMm ?? lampWidth ?? width };
}

function drawnSide(noted: number | null | undefined, ofBed: number, random: Random): number {
  return noted ? noted * notedFactor ** random.normal() : ofBed * drawnBetween(random, beyondBed);
}

function drawnDistance(
  lamp: KnownLamp | null,
  { usual, of }: { readonly usual: { readonly median: number; readonly factor: number }; readonly of: number },
  random: Random,
): number {
  return lamp?.distanceMm ? lamp.distanceMm * notedFactor ** random.normal() : of * drawnUsual(random, usual);
}
