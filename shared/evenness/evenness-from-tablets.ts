// How much light each of several alike tablets got, by sliding its steps along the curve of the one nearest the middle.
import { logHAtDensity, shareAt } from "#shared/curve/curve-at.ts";
import { fitCharacteristicCurve } from "#shared/curve/fit-characteristic-curve.ts";
import type { Curve } from "#shared/schema/curve.ts";
import type { PointPx, ReadingStep, Tablet } from "#shared/schema/reading.ts";
import { evennessTrouble, type EvennessWarning } from "./evenness-facts.ts";
import { stepLogH } from "#shared/tablet/log-exposure.ts";
import { median } from "#shared/statistics/robust.ts";
import { stopsFromLogH } from "#shared/units/stops.ts";
import type { MeasuredPlace } from "./drawn-light.ts";

/** Steps beyond these shares of the curve hardly change with light. common practice, no source */
const tellingShares = { least: 0.1, most: 0.88 };
const fewestTellingSteps = 3;
/** How much coating alone differs from one tablet's place to the next [stops]. common practice, no source */
const coatingSigmaStops = 0.03;
/**
 * Standard deviation of the places across their narrowest direction, share of the bed, below which they count as one
 * line. common practice, no source
 */
const leastBreadth = 0.06;
/**
 * Where the outermost tablets span less of the bed than this, the map of its edges is carried on from inside. common
 * practice, no source
 */
const leastSpan = 0.6;

interface Place {
  readonly x: number;
  readonly y: number;
}

export interface ReadTablet {
  /**
   * Where on the bed a point of the picture lay: shares of width and depth, from the back left corner. Of a tablet on a
   * piece of its own only one place is known, that of its middle blue, and every point gives that.
   */
  readonly placeOf: (point: PointPx) => Place;
  readonly steps: readonly ReadingStep[];
}

/**
 * Relative irradiance at each tablet's steps of middle blue [stops], the tablet nearest the middle about 0.
 * @param tablets five or more, exposed alike, in the order in which their troubles shall be named
 * @throws TroubleError "evenness-unknown" when they lie on one line, when the middle one gives no curve, or when one
 *   has too few telling steps
 * Source: common practice, no source.
 */
export function lightAtTablets(
  tablet: Tablet,
  tablets: readonly ReadTablet[],
): { places: MeasuredPlace[]; warnings: EvennessWarning[] } {
  const wholes = tablets.map(({ steps, placeOf }) => meanOf(steps.map(({ centre }) => placeOf(centre))));
  if (breadthOf(wholes) < leastBreadth) {
    throw evennessTrouble({ code: "tablets-in-line" }, "tablets");
  }
  const fromMiddle = (place: Place): number => Math.hypot(place.x - 0.5, place.y - 0.5);
  const middleIndex = wholes.reduce((best, place, i) => (fromMiddle(place) < fromMiddle(wholes[best]!) ? i : best), 0);
  const middle = tablets[middleIndex]!;
  const logHOf = (step: ReadingStep): number => stepLogH({ tablet, input: step.input, exposureSeconds: 1 }) ?? 0;
  const curve = fitCharacteristicCurve({
    channel: "red",
    steps: middle.steps.map((step) => ({
      index: step.index,
      logH: logHOf(step),
      sigmaLogH: 0,
      density: step.red,
      sigma: step.sigma,
      isFlagged: step.flags.length > 0,
    })),
  });
  if (curve === null)
    throw evennessTrouble(
      { code: "middle-tablet-without-curve", tablet: middleIndex + 1 },
      `tablets.${middleIndex}.corners`,
    );
  const places = tablets.map(({ placeOf, steps }, i): MeasuredPlace => {
    const telling = tellingSteps(curve, steps, logHOf);
    if (telling.length < fewestTellingSteps) {
      throw evennessTrouble({ code: "tablet-without-middle-blue", tablet: i + 1 }, `tablets.${i}.corners`);
    }
    const shifts = telling.map(({ shift }) => shift);
    const mean = shifts.reduce((sum, shift) => sum + shift, 0) / shifts.length;
    const variance = shifts.reduce((sum, shift) => sum + (shift - mean) ** 2, 0) / (shifts.length - 1);
    return {
      ...meanOf(telling.map(({ step }) => placeOf(step.centre))),
      stops: stopsFromLogH(median(shifts)),
      sigmaStops: Math.hypot(coatingSigmaStops, stopsFromLogH(Math.sqrt(variance / shifts.length))),
    };
  });
  const span = (axis: "x" | "y"): number =>
    Math.max(...places.map((place) => place[axis])) - Math.min(...places.map((place) => place[axis]));
  const [widthShare, depthShare] = [span("x"), span("y")];
  const warnings: EvennessWarning[] =
    Math.min(widthShare, depthShare) >= leastSpan ? [] : [{ code: "edges-not-measured", widthShare, depthShare }];
  return { places, warnings };
}

/** Steps of middle blue, and how much more light each speaks of than the curve's own tablet got there [log10]. */
function tellingSteps(
  curve: Curve,
  steps: readonly ReadingStep[],
  logHOf: (step: ReadingStep) => number,
): { step: ReadingStep; shift: number }[] {
  return steps.flatMap((step) => {
    const logH = step.flags.length > 0 ? null : logHAtDensity(curve, step.red);
    if (logH === null) return [];
    const share = shareAt(curve, logH);
    return share < tellingShares.least || share > tellingShares.most ? [] : [{ step, shift: logH - logHOf(step) }];
  });
}

function meanOf(places: readonly Place[]): Place {
  return {
    x: places.reduce((sum, { x }) => sum + x, 0) / places.length,
    y: places.reduce((sum, { y }) => sum + y, 0) / places.length,
  };
}

/** Standard deviation of the places across the direction in which they differ least [share of the bed]. */
function breadthOf(places: readonly Place[]): number {
  const mean = meanOf(places);
  const moment = (of: (x: number, y: number) => number): number =>
    places.reduce((sum, { x, y }) => sum + of(x - mean.x, y - mean.y), 0) / places.length;
  const [xx, yy, xy] = [moment((x) => x * x), moment((_, y) => y * y), moment((x, y) => x * y)];
  // The smaller eigenvalue of the 2 x 2 matrix of second moments.
  return Math.sqrt(Math.max(0, (xx + yy) / 2 - Math.hypot((xx - yy) / 2, xy)));
}
