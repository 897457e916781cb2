// From the blue of one even exposure to the light that fell on each place, by the curve of the same coating.
import { logHAtDensity, logHAtShare, shareAt } from "#shared/curve/curve-at.ts";
import type { Curve } from "#shared/schema/curve.ts";
import { stopsFromLogH } from "#shared/units/stops.ts";
import type { MeasuredPlace } from "./drawn-light.ts";
import { evennessTrouble } from "./evenness-facts.ts";

/**
 * Blue outside these shares of the curve hardly changes with light, and says nothing about it. common practice, no
 * source
 */
const tellingShares = { least: 0.08, most: 0.94 };
/** Share of the bed that must print within them. common practice, no source */
const leastTelling = 0.7;

/** The blue at one place of the bed. */
export interface BluePlace {
  /** Shares of the area's width and height. */
  readonly x: number;
  readonly y: number;
  /** Densities above paper. */
  readonly red: number;
  readonly visual: number;
}

/**
 * Light at each place, in stops on a scale that all share. Places whose blue hardly changes with light are left out.
 * @throws TroubleError "evenness-unknown" when they are more than three in ten
 */
export function lightFromBlue(places: readonly BluePlace[], curve: Curve): MeasuredPlace[] {
  const measured = places.flatMap((place): MeasuredPlace[] => {
    const logH = logHAtDensity(curve, curve.channel === "red" ? place.red : place.visual);
    if (logH === null) return [];
    const share = shareAt(curve, logH);
    return share < tellingShares.least || share > tellingShares.most
      ? []
      : [{ x: place.x, y: place.y, stops: stopsFromLogH(logH) }];
  });
  if (measured.length < leastTelling * places.length) {
    const middle = logHAtShare(curve, 0.5);
    throw evennessTrouble(
      {
        code: "blue-tells-nothing",
        share: 1 - measured.length / places.length,
        middleSeconds: middle === null ? null : 10 ** middle,
      },
      "photo",
    );
  }
  return measured;
}
