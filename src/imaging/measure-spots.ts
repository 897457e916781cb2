// A strip in a picture and places beside it: what the strip's steps read, and how dense each place is above its paper.
import { homographyFromCorners, inverseHomography } from "#shared/reading/corners/homography.ts";
import { spotDensity, type LitPlace, type SpotDensity } from "#shared/reading/light/spot-density.ts";
import type { MeasuredReading } from "#shared/reading/reading-facts.ts";
import { readingTrouble } from "#shared/reading/reading-troubles.ts";
import type { Corners, PointPx, ReadingRequest } from "#shared/schema/reading.ts";
import { middleAndSpread } from "#shared/statistics/robust.ts";
import { decodePicture, type Raster } from "./decode/decode.ts";
import { measureReading } from "./measure-reading.ts";
import { pixelsOfCell } from "./sample.ts";

export interface SpotsJob {
  readonly picture: Uint8Array;
  /** The strip. */
  readonly request: ReadingRequest;
  /** Middles of the places [upright px]. */
  readonly spots: readonly PointPx[];
}

export interface MeasuredSpots {
  readonly reading: MeasuredReading;
  /** One for each spot. */
  readonly spots: readonly SpotDensity[];
}

/** Half the side of a place, as a share of the picture's longer side, and its least [px]. */
const halfShare = 0.006;
const leastHalfPx = 4;
/** Least red light that can be told from none: half an 8-bit code near black. */
const leastLight = 0.5 / 255 / 12.92;

/** @throws TroubleError as `measureReading`, and "bad-request" for a place beyond the picture */
export async function measureSpots({ picture, request, spots }: SpotsJob): Promise<MeasuredSpots> {
  const reading = await measureReading({ picture, request });
  const { raster } = await decodePicture(picture);
  const half = Math.max(leastHalfPx, halfShare * Math.max(raster.width, raster.height));
  const steps = reading.steps
    .filter(({ flags }) => !flags.includes("crushed"))
    .map(({ centre, red }) => ({ ...lightAt(raster, centre, half), density: red }));
  return { reading, spots: spots.map((spot) => spotDensity(steps, lightAt(raster, spot, half))) };
}

function lightAt(raster: Raster, at: PointPx, half: number): LitPlace {
  const [x, y] = at;
  if (x < half || y < half || x > raster.width - half || y > raster.height - half)
    throw readingTrouble("bad-request", { code: "spot-beyond-picture" }, { field: "spots" });
  const corners: Corners = [
    [x - half, y - half],
    [x + half, y - half],
    [x + half, y + half],
    [x - half, y + half],
  ];
  const toPicture = homographyFromCorners(corners);
  const map = { toPicture, toStrip: inverseHomography(toPicture) };
  const { red, count } = pixelsOfCell(raster, map, { u0: 0, u1: 1, v0: 0, v1: 1 }, { tilesU: 1, tilesV: 1 });
  return { at, light: Math.max(leastLight, middleAndSpread(red.slice(0, count)).middle) };
}
