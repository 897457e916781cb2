// A lamp's speed over its hours, and its times over the distance, as plots.
import { formatDuration } from "#shared/format/duration.ts";
import { formatStops } from "#shared/format/number.ts";
import { stopsFromLogH } from "#shared/units/stops.ts";
import { plotAxis, type PlotSpec } from "#shared/format/plot.ts";
import { distanceFitWords, lampAgeingWords } from "#shared/words/materials/lamp-words.ts";
import type { LampHistory } from "#src/studio/lamps/lamp-history.ts";

/** The plot, or null while fewer than two different hours were noted. */
export function lampPlot({ speeds, ageing }: LampHistory): PlotSpec | null {
  const sorted = [...speeds].sort((a, b) => a.hours - b.hours);
  const [first] = sorted;
  const last = sorted.at(-1);
  if (first === undefined || last === undefined || first.hours === last.hours) return null;
  const stops = (logSpeed: number): number => stopsFromLogH(logSpeed - first.logSpeed);
  const points = sorted.map(({ hours, logSpeed }) => ({
    x: hours,
    y: stops(logSpeed),
    label: `${Math.round(hours)} h: ${formatStops(stops(logSpeed))}`,
  }));
  const slope = ageing.slopePer100Hours;
  // The trend line goes through the middle of the tests.
  const middle = {
    hours: sorted.reduce((sum, each) => sum + each.hours, 0) / sorted.length,
    logSpeed: sorted.reduce((sum, each) => sum + each.logSpeed, 0) / sorted.length,
  };
  const trend =
    slope === null
      ? []
      : [first.hours, last.hours].map((hours) => ({
          x: hours,
          y: stops(middle.logSpeed + (slope * (hours - middle.hours)) / 100),
        }));
  return {
    title: "Speed over lamp hours",
    summary: lampAgeingWords(ageing.finding),
    x: plotAxis(
      "hours the lamp has burned",
      sorted.map(({ hours }) => hours),
    ),
    y: plotAxis("speed, in stops against its first test", [0, ...points.map(({ y }) => y), ...trend.map(({ y }) => y)]),
    series: [
      { name: "tests", kind: "points", look: 1, points },
      ...(trend.length === 0 ? [] : [{ name: "robust trend", kind: "line" as const, look: 2, points: trend }]),
    ],
  };
}

/**
 * Square root of the time over the distance, in which an inverse square is a straight line; null before two distances
 * were tested.
 */
export function distancePlot({ distance }: LampHistory): PlotSpec | null {
  if (distance === null) return null;
  const { fit, tests } = distance;
  const distancesMm = tests.map((test) => test.distanceMm);
  const ends = [Math.min(...distancesMm), Math.max(...distancesMm)] as const;
  const points = tests.map(({ distanceMm, logSeconds }) => ({
    x: distanceMm,
    y: 10 ** (logSeconds / 2),
    label: `${Math.round(distanceMm)} mm: ${formatDuration(10 ** logSeconds)}`,
  }));
  const line = ends.map((x) => ({ x, y: fit.rootSlope * (x + fit.offsetMm) }));
  return {
    title: "Time over distance",
    summary: distanceFitWords(fit, ends),
    x: plotAxis("distance from lamp to print, mm", distancesMm),
    y: plotAxis("square root of the seconds to the shoulder", [0, ...points.map(({ y }) => y)]),
    series: [
      { name: "tests", kind: "points", look: 1, points },
      { name: "inverse square from an offset", kind: "line", look: 2, points: line },
    ],
  };
}
