// How the light of a lamp may fall over a bed, before anything was measured: by the lamp's own geometry.
import { panelAt, pointAt, tubeAt } from "#shared/lamp/lamp-geometry.ts";
import type { Lamp } from "#shared/schema/materials.ts";

/** A place of the bed: shares of its width and depth, from the back left corner. */
export interface BedPlace {
  readonly x: number;
  readonly y: number;
}

/** One way in which light may fall. */
export interface FallOff {
  readonly hasParts: boolean;
  /**
   * Irradiance at a place [any unit], and the share of each part of the lamp, whose strength may differ, in it; none of
   * a lamp in one piece.
   */
  readonly at: (place: BedPlace) => { readonly light: number; readonly parts: Float64Array };
}

/** A lamp as far as it is known. */
export type KnownLamp = Pick<Lamp, "kind"> & Partial<Pick<Lamp, "widthMm" | "heightMm" | "distanceMm" | "tubeCount">>;

/**
 * Distances that are taken for possible where nobody noted one, as shares of the lamp's smaller side. common practice,
 * no source
 */
const usualDistanceShares = [0.12, 0.25, 0.5] as const;
/** A lamp of unknown size reaches so far beyond the bed, as a multiple of it. common practice, no source */
const beyondBed = 1.1;
/** Tubes and fields of diodes that are told apart where nobody counted them. common practice, no source */
const usualTubes = 8;
const diodeParts = 4;
/** Where nothing is known of a lamp, it shines from so far, as shares of the bed's width. common practice, no source */
const pointDistanceShares = [0.7, 1.2, 2] as const;

/**
 * Ways in which the light of a lamp may fall over a bed under its middle.
 * @param lamp null where nothing is known of it
 * @param bed its size [mm], null where nobody said: then it is as large as the lamp, or square
 * Source: LambertianFactors.
 */
export function fallOffsOver(lamp: KnownLamp | null, bed: { widthMm: number; heightMm: number } | null): FallOff[] {
  const size = sizesOf(lamp, bed);
  const across = (place: BedPlace): number => (place.x - 0.5) * size.bed.width;
  const down = (place: BedPlace): number => (place.y - 0.5) * size.bed.height;
  const kind = lamp?.kind ?? "other";
  const points = (): FallOff[] =>
    distancesOf(
      kind === "point" ? lamp : null,
      pointDistanceShares.map((share) => share * size.bed.width),
    ).map((distance) => ({
      hasParts: false,
      at: (place) => ({ light: pointAt(distance, Math.hypot(across(place), down(place))), parts: new Float64Array(0) }),
    }));
  if (kind === "point") return points();
  const distances = distancesOf(
    lamp,
    usualDistanceShares.map((share) => share * Math.min(size.lamp.width, size.lamp.height)),
  );
  const above = distances.map((distance) => ({ size: size.lamp, distance, across, down }));
  if (kind === "tubes") {
    const count = lamp?.tubeCount ?? usualTubes;
    return above.flatMap((each) => (["across", "down"] as const).map((lie) => tubesOver({ ...each, lie, count })));
  }
  return kind === "other" ? [...above.map(panelOver), ...points()] : above.map(panelOver);
}

/**
 * How much further down and up the range of a bed's worst to best reaches than its geometry asks. A field of diodes
 * is reckoned as even fields: how far its diodes stand apart, and a dead one where no tablet lay, are left out of it.
 * Tubes are smoother than the draws, since their geometry is known: their range lies lower. Chosen on invented boxes.
 */
export function rangeStretch(lamp: Pick<KnownLamp, "kind"> | null): { readonly down: number; readonly up: number } {
  if (lamp?.kind === "led") return { down: 1.15, up: 1.5 };
  return lamp?.kind === "tubes" ? { down: 1.25, up: 0.85 } : { down: 1, up: 1 };
}

/** Sizes of bed and lamp, each as the other's where it is not known [mm]. */
function sizesOf(lamp: KnownLamp | null, bed: { widthMm: number; heightMm: number } | null) {
  const lampWidth = lamp?.widthMm ?? null;
  const lampHeight = lamp?.heightMm ?? lampWidth;
  const width = bed?.widthMm ?? lampWidth ?? 100;
  const height = bed?.heightMm ?? lampHeight ?? width;
  return {
    bed: { width, height },
    lamp: { width: lampWidth ?? beyondBed * width, height: lampHeight ?? beyondBed * height },
  };
}

function distancesOf(lamp: KnownLamp | null, usual: readonly number[]): readonly number[] {
  return lamp?.distanceMm ? [lamp.distanceMm] : usual;
}

interface Above {
  readonly size: { readonly width: number; readonly height: number };
  readonly distance: number;
  readonly across: (place: BedPlace) => number;
  readonly down: (place: BedPlace) => number;
}

/** Tubes side by side, lying across the bed or down it; each is a part. */
function tubesOver({
  lie,
  count,
  size,
  distance,
  across,
  down,
}: Above & { lie: "across" | "down"; count: number }): FallOff {
  const isAcross = lie === "across";
  const [length, spread] = isAcross ? [size.width, size.height] : [size.height, size.width];
  const pitch = spread / count;
  const tubes = Array.from({ length: count }, (_, n) => (place: BedPlace): number => {
    const [along, beside] = isAcross ? [across(place), down(place)] : [down(place), across(place)];
    return tubeAt({ length, distance, x: beside - (n - (count - 1) / 2) * pitch, z: along });
  });
  return withParts(tubes);
}

/** An even panel, cut into fields whose strength may differ: bins of diodes, dead ones, strings. */
function panelOver({ size, distance, across, down }: Above): FallOff {
  const field = { width: size.width / diodeParts, height: size.height / diodeParts };
  const fields = Array.from({ length: diodeParts ** 2 }, (_, i) => (place: BedPlace): number => {
    const [column, row] = [i % diodeParts, Math.floor(i / diodeParts)];
    const middle = (diodeParts - 1) / 2;
    return panelAt({
      ...field,
      distance,
      x: across(place) - (column - middle) * field.width,
      y: down(place) - (row - middle) * field.height,
    });
  });
  return withParts(fields);
}

function withParts(parts: readonly ((place: BedPlace) => number)[]): FallOff {
  return {
    hasParts: true,
    at(place) {
      const lights = Float64Array.from(parts, (part) => part(place));
      const light = lights.reduce((sum, each) => sum + each, 0);
      return { light, parts: lights.map((each) => each / light) };
    },
  };
}
