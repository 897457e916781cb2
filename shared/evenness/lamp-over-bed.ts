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
  /** Share of belief in it beforehand, 0-1; of all ways together 1. */
  readonly chance: number;
  /** Even light beside the lamp's own, as a share of that on the middle of the bed. */
  readonly strayShare: number;
  /**
   * Irradiance at a place [any unit], and the share of each part of the lamp, whose strength may differ, in it; none of
   * a lamp in one piece. What is missing to 1 is stray light.
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
/** Numbers of tubes that are taken for possible where nobody counted them. common practice, no source */
const usualTubes = [6, 10] as const;
/**
 * Fields to a side whose strength may differ: of a panel, and of diodes, of which one may be dead where no tablet lay:
 * so fine that the field of one diode is no larger than what it lights. common practice, no source
 */
const fieldsToSide = { panel: 4, led: 7 } as const;
/** Where nothing is known of a lamp, it shines from so far, as shares of the bed's width. common practice, no source */
const pointDistanceShares = [0.7, 1.2, 2] as const;

/**
 * Light that walls, reflectors and glass throw about evenly, beside the lamp's own on the middle. common practice, no
 * source
 */
const strays = [
  { share: 0.07, chance: 0.3 },
  { share: 0.22, chance: 0.35 },
  { share: 0.45, chance: 0.35 },
] as const;
/** Where the lamp is unknown, its distance flattens the light more or less already. common practice, no source */
const usualStray = [{ share: 0.2, chance: 1 }] as const;

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
  const distances = distancesOf(
    kind === "point" ? null : lamp,
    usualDistanceShares.map((share) => share * Math.min(size.lamp.width, size.lamp.height)),
  );
  const above = distances.map((distance) => ({ size: size.lamp, distance, across, down }));
  const points = (): Way[] =>
    distancesOf(
      kind === "point" ? lamp : null,
      pointDistanceShares.map((share) => share * size.bed.width),
    ).map((distance) => (place) => ({
      light: pointAt(distance, Math.hypot(across(place), down(place))),
      parts: new Float64Array(0),
    }));
  const tubes = (): Way[] =>
    (lamp?.tubeCount ? [lamp.tubeCount] : usualTubes).flatMap((count) =>
      above.flatMap((each) => (["across", "down"] as const).map((lie) => tubesOver({ ...each, lie, count }))),
    );
  const fields = (toSide: number): Way[] => above.map((each) => panelOver(each, toSide));
  switch (kind) {
    case "point":
      return alikeLikely([points()]);
    case "tubes":
      return alikeLikely([tubes()]);
    case "panel":
      return alikeLikely([fields(fieldsToSide.panel)]);
    case "led":
      return alikeLikely([fields(fieldsToSide.led)]);
    default:
      return alikeLikely([points(), tubes(), fields(fieldsToSide.led)]);
  }
}

/** Each kind as likely as the others, and each way of a kind, with every share of stray light. */
function alikeLikely(kinds: readonly (readonly Way[])[]): FallOff[] {
  return kinds.flatMap((ways) =>
    ways.map(reckonedOnce).flatMap((way) =>
      (kinds.length > 1 ? usualStray : strays).map(({ share, chance }) => ({
        chance: chance / kinds.length / ways.length,
        strayShare: share,
        at: withStray(way, share),
      })),
    ),
  );
}

/** A way that is asked for the same places again and again. */
function reckonedOnce(way: Way): Way {
  const known = new Map<BedPlace, ReturnType<Way>>();
  return (place) => {
    let light = known.get(place);
    if (light === undefined) known.set(place, (light = way(place)));
    return light;
  };
}

/** The light with an even one added, of this share of what falls on the middle. */
function withStray(way: Way, share: number): Way {
  const even = share * way({ x: 0.5, y: 0.5 }).light;
  return (place) => {
    const { light, parts } = way(place);
    return { light: light + even, parts: parts.map((part) => (part * light) / (light + even)) };
  };
}

type Way = FallOff["at"];

/**
 * How much further up the range of a bed's worst to best reaches than its geometry asks: a dead diode where no tablet
 * lay darkens a place that hardly any draw does, since their strengths are drawn alike for all. Chosen on invented
 * boxes.
 */
export function rangeStretchUp(lamp: Pick<KnownLamp, "kind"> | null): number {
  return lamp?.kind === "led" ? 1.5 : 1;
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
}: Above & { lie: "across" | "down"; count: number }): Way {
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
function panelOver({ size, distance, across, down }: Above, toSide: number): Way {
  const field = { width: size.width / toSide, height: size.height / toSide };
  const fields = Array.from({ length: toSide ** 2 }, (_, i) => (place: BedPlace): number => {
    const [column, row] = [i % toSide, Math.floor(i / toSide)];
    const middle = (toSide - 1) / 2;
    return panelAt({
      ...field,
      distance,
      x: across(place) - (column - middle) * field.width,
      y: down(place) - (row - middle) * field.height,
    });
  });
  return withParts(fields);
}

function withParts(parts: readonly ((place: BedPlace) => number)[]): Way {
  return (place) => {
    const lights = Float64Array.from(parts, (part) => part(place));
    const light = lights.reduce((sum, each) => sum + each, 0);
    return { light, parts: lights.map((each) => each / light) };
  };
}
