// Blue of a large exposed area from place to place, with the picture's own light taken out or the answer refused.
import { stopsFromLogH } from "#shared/units/stops.ts";
import { readingTrouble } from "#shared/reading/reading-troubles.ts";
import { luminanceFromLinearSrgb } from "#shared/density/srgb.ts";
import { cornerTrouble } from "#shared/reading/corners/corner-trouble.ts";
import { homographyFromCorners, mapPoint, type Homography } from "#shared/reading/corners/homography.ts";
import { median } from "#shared/statistics/robust.ts";
import { smoothSurface, surfaceAt } from "#shared/reading/light/surface-fit.ts";
import type { ProfileFact } from "#shared/reading/reading-facts.ts";
import { transformed } from "#shared/density/matrix.ts";
import type { Corners } from "#shared/schema/reading.ts";
import { decodePicture, type Raster } from "./decode/decode.ts";

export interface FieldJob {
  readonly picture: Uint8Array;
  /** A plain sheet in the same place, from the same camera place, under the same light. */
  readonly evenLight?: Uint8Array | undefined;
  readonly corners: Corners;
}

interface FieldPlace {
  /** Shares of the area's width and height. */
  readonly x: number;
  readonly y: number;
  /** Density above paper. */
  readonly red: number;
  readonly visual: number;
}

export interface Field {
  readonly places: readonly FieldPlace[];
  readonly lightFrom: "even-light-picture" | "paper-border";
  /** Largest difference of the picture's own light over the area [stops]. */
  readonly pictureLightStops: number;
  readonly profile: ProfileFact;
}

const across = 16;
/** Part of a cell that is sampled, and points along its side. */
const cellShare = 0.7;
const pointsAlong = 20;
/** The border is looked for this far outside the area, in shares of its sides. */
const borderFrom = 0.025;
const borderTo = 0.075;
/** Bare paper is at least this much lighter than the exposed area beside it [density, red]. */
const leastBorderContrast = 0.2;
/** Border cells scatter less than this about a smooth surface when they are plain paper [density]. */
const mostBorderScatter = 0.015;
/** Sides of the area that must show paper, and cells on each. */
const fewestSides = 3;
const fewestOnSide = 6;

interface Light {
  readonly red: number;
  readonly luminance: number;
}

/**
 * @throws TroubleError "evenness-unknown" when the camera's light cannot be told from the lamp's, "corners-impossible",
 * "not-a-picture"
 */
export async function measureField({ picture, evenLight, corners }: FieldJob): Promise<Field> {
  const { raster } = await decodePicture(picture);
  const trouble = cornerTrouble(corners, { width: raster.width, height: raster.height, steps: across });
  if (trouble !== null) throw readingTrouble("corners-impossible", trouble, { field: "corners" });
  const map = homographyFromCorners(corners);
  const cells = Array.from({ length: across * across }, (_, i) => ({
    x: ((i % across) + 0.5) / across,
    y: (Math.floor(i / across) + 0.5) / across,
  }));
  const inside = cells.map((cell) => ({ ...cell, light: lightAt(raster, map, cell.x, cell.y, cellShare / across) }));
  const usable = inside.filter((cell): cell is typeof cell & { light: Light } => cell.light !== null);
  const border = paperBorder(raster, map, usable);
  const log = (value: number): number => Math.log10(Math.max(value, 1e-6));

  if (evenLight !== undefined) {
    const even = (await decodePicture(evenLight)).raster;
    if (even.width !== raster.width || even.height !== raster.height) {
      throw readingTrouble(
        "evenness-unknown",
        {
          code: "even-light-other-size",
          widthPx: even.width,
          heightPx: even.height,
          wantedWidthPx: raster.width,
          wantedHeightPx: raster.height,
        },
        { field: "evenLight" },
      );
    }
    const plain = usable.map((cell) => lightAt(even, map, cell.x, cell.y, cellShare / across));
    // Bare paper in both pictures ties their exposures together; without it the plain sheet counts as the print's own
    // paper.
    const offsets = (pick: (light: Light) => number): number => {
      const both =
        border === null
          ? []
          : border.cells.flatMap((cell) => {
              const light = lightAt(even, map, cell.x, cell.y, cellShare / across / 3);
              return light === null ? [] : [log(pick(cell.light)) - log(pick(light))];
            });
      return both.length === 0 ? 0 : median(both);
    };
    const [red, visual] = [offsets((light) => light.red), offsets((light) => light.luminance)];
    const places = usable.flatMap((cell, i): FieldPlace[] => {
      const white = plain[i];
      return white
        ? [
            {
              x: cell.x,
              y: cell.y,
              red: log(white.red) + red - log(cell.light.red),
              visual: log(white.luminance) + visual - log(cell.light.luminance),
            },
          ]
        : [];
    });
    return {
      places,
      lightFrom: "even-light-picture",
      pictureLightStops: spreadStops(plain.flatMap((light) => (light ? [log(light.luminance)] : []))),
      profile: raster.profile,
    };
  }

  if (border === null) {
    throw readingTrouble("evenness-unknown", { code: "no-paper-border" }, { field: "evenLight" });
  }
  const surface = (pick: (light: Light) => number) =>
    smoothSurface(
      border.cells.map((cell) => ({ x: 2 * cell.x - 1, y: 2 * cell.y - 1, value: log(pick(cell.light)) })),
      2,
    );
  const [red, luminance] = [surface((light) => light.red), surface((light) => light.luminance)];
  if (red.residual > mostBorderScatter) {
    throw readingTrouble("evenness-unknown", { code: "border-uneven" }, { field: "corners" });
  }
  const whites = usable.map((cell) => surfaceAt(luminance, 2 * cell.x - 1, 2 * cell.y - 1));
  const places = usable.map((cell, i): FieldPlace => ({
    x: cell.x,
    y: cell.y,
    red: surfaceAt(red, 2 * cell.x - 1, 2 * cell.y - 1) - log(cell.light.red),
    visual: whites[i]! - log(cell.light.luminance),
  }));
  return { places, lightFrom: "paper-border", pictureLightStops: spreadStops(whites), profile: raster.profile };
}

const spreadStops = (logs: readonly number[]): number =>
  logs.length === 0 ? 0 : stopsFromLogH(Math.max(...logs) - Math.min(...logs));

/** Cells of bare paper round the area; null when fewer than three sides show it. */
function paperBorder(
  raster: Raster,
  map: Homography,
  inside: readonly { x: number; y: number; light: Light }[],
): { cells: { x: number; y: number; light: Light }[] } | null {
  const out = (borderFrom + borderTo) / 2;
  const half = (borderTo - borderFrom) / 2;
  const sides = [0, 1, 2, 3].map((side) =>
    Array.from({ length: across }, (_, i) => {
      const along = (i + 0.5) / across;
      const [x, y] = (
        [
          [along, -out],
          [1 + out, along],
          [along, 1 + out],
          [-out, along],
        ] as const
      )[side]!;
      const light = lightAt(raster, map, x, y, half);
      const nearest = inside.reduce(
        (best, cell) => (Math.hypot(cell.x - x, cell.y - y) < Math.hypot(best.x - x, best.y - y) ? cell : best),
        inside[0]!,
      );
      const isPaper = light !== null && Math.log10(light.red / Math.max(nearest.light.red, 1e-6)) > leastBorderContrast;
      return isPaper ? { x, y, light } : null;
    }).filter((cell) => cell !== null),
  );
  const good = sides.filter((cells) => cells.length >= fewestOnSide);
  return good.length < fewestSides ? null : { cells: good.flat() };
}

/** Mean light in a square of the area, without its lowest and highest fifth; null where it leaves the picture. */
function lightAt(raster: Raster, map: Homography, x: number, y: number, side: number): Light | null {
  const { data, channels, linear, matrix, width, height } = raster;
  const reds: number[] = [];
  const luminances: number[] = [];
  for (let j = 0; j < pointsAlong; j++) {
    for (let i = 0; i < pointsAlong; i++) {
      const [px, py] = mapPoint(
        map,
        x + side * ((i + 0.5) / pointsAlong - 0.5),
        y + side * ((j + 0.5) / pointsAlong - 0.5),
      );
      const [ix, iy] = [Math.round(px), Math.round(py)];
      if (!(ix >= 0 && iy >= 0 && ix < width && iy < height)) return null;
      const o = (iy * width + ix) * channels;
      let r = linear[0]![data[o]!]!;
      let g = channels === 1 ? r : linear[1]![data[o + 1]!]!;
      let b = channels === 1 ? r : linear[2]![data[o + 2]!]!;
      if (matrix !== null) [r, g, b] = transformed(matrix, [r, g, b]);
      reds.push(r);
      luminances.push(luminanceFromLinearSrgb(r, g, b));
    }
  }
  return { red: trimmedMean(reds), luminance: trimmedMean(luminances) };
}

function trimmedMean(values: number[]): number {
  values.sort((a, b) => a - b);
  const cut = Math.floor(values.length / 5);
  return values.slice(cut, values.length - cut).reduce((sum, value) => sum + value, 0) / (values.length - 2 * cut);
}
