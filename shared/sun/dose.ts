// Dose is printing strength summed over time. A table of it over a span of hours answers every question of the day:
// how much between two instants, and how long to a wanted amount.
import { maxExposureSeconds } from "#shared/limits.ts";
import { bisection } from "#shared/statistics/bisection.ts";
import { dayOfYear, earthSunFactor } from "./sky/atmosphere.ts";
import { strengthUnderSun, sunInScene, type ReadyScene } from "./sky/printing-strength.ts";

/** Strength and summed dose at even instants. */
export interface DoseTable {
  readonly startMs: number;
  readonly stepSeconds: number;
  /** Printing strength at each node [action-weighted W/m²]. */
  readonly strengths: Float64Array;
  /** Dose from the start to each node [action-weighted J/m²]. */
  readonly doses: Float64Array;
  /** Apparent zenith angle of the sun at each node [°]. */
  readonly zeniths: Float64Array;
}

/** Usual step of the table [s]: two minutes; five give 0.003 % over a Boulder afternoon. Source: SunIntegration. */
const usualStepSeconds = 120;

/**
 * Table of strength and dose from one instant to another, by the trapezoid rule with the sun's position at each node.
 * @param span start and end [ms of UTC]; the end is rounded up to a whole step
 * @param span.stepSeconds 60 to 300
 * @throws RangeError when the span is empty or longer than ten days.
 */
export function doseTable(
  ready: ReadyScene,
  span: { readonly startMs: number; readonly endMs: number; readonly stepSeconds?: number },
): DoseTable {
  const stepSeconds = span.stepSeconds ?? usualStepSeconds;
  const steps = Math.ceil((span.endMs - span.startMs) / 1000 / stepSeconds);
  if (!(steps >= 1 && steps * stepSeconds <= maxExposureSeconds + stepSeconds))
    throw new RangeError("a dose table spans from one step to ten days");
  const strengths = new Float64Array(steps + 1);
  const doses = new Float64Array(steps + 1);
  const zeniths = new Float64Array(steps + 1);
  for (let i = 0; i <= steps; i += 1) {
    const atMs = span.startMs + i * stepSeconds * 1000;
    const sun = sunInScene(ready, atMs);
    zeniths[i] = sun.zenithDegrees;
    strengths[i] = strengthUnderSun(ready, sun, earthSunFactor(dayOfYear(atMs)));
    if (i > 0) doses[i] = (doses[i - 1] ?? 0) + (((strengths[i - 1] ?? 0) + (strengths[i] ?? 0)) / 2) * stepSeconds;
  }
  return { startMs: span.startMs, stepSeconds, strengths, doses, zeniths };
}

/** Last instant of a table [ms of UTC]. */
function tableEndMs(table: DoseTable): number {
  return table.startMs + (table.strengths.length - 1) * table.stepSeconds * 1000;
}

/** Node before an instant and the seconds past it; clamped to the table. */
function nodeBefore(table: DoseTable, atMs: number): { node: number; pastSeconds: number } {
  const seconds = Math.min(
    Math.max(0, (atMs - table.startMs) / 1000),
    (table.strengths.length - 1) * table.stepSeconds,
  );
  const node = Math.min(table.strengths.length - 2, Math.floor(seconds / table.stepSeconds));
  return { node, pastSeconds: seconds - node * table.stepSeconds };
}

/** Printing strength at an instant, straight between the nodes; the ends beyond them [action-weighted W/m²]. */
export function strengthAt(table: DoseTable, atMs: number): number {
  const { node, pastSeconds } = nodeBefore(table, atMs);
  const before = table.strengths[node] ?? 0;
  return before + ((table.strengths[node + 1] ?? 0) - before) * (pastSeconds / table.stepSeconds);
}

/** Apparent zenith angle at an instant, straight between the nodes [°]. */
export function zenithAt(table: DoseTable, atMs: number): number {
  const { node, pastSeconds } = nodeBefore(table, atMs);
  const before = table.zeniths[node] ?? 0;
  return before + ((table.zeniths[node + 1] ?? 0) - before) * (pastSeconds / table.stepSeconds);
}

/** Dose from the table's start to an instant; instants outside count as the nearest end [action-weighted J/m²]. */
function doseUntil(table: DoseTable, atMs: number): number {
  const { node, pastSeconds } = nodeBefore(table, atMs);
  const before = table.strengths[node] ?? 0;
  const slope = ((table.strengths[node + 1] ?? 0) - before) / table.stepSeconds;
  return (table.doses[node] ?? 0) + pastSeconds * (before + (slope * pastSeconds) / 2);
}

/** Dose between two instants of a table [action-weighted J/m²]. */
export function doseBetween(table: DoseTable, fromMs: number, untilMs: number): number {
  return doseUntil(table, untilMs) - doseUntil(table, fromMs);
}

/**
 * End of the daylight that an instant lies in: the last node before the sun is down, or the table's end.
 * @returns the instant itself when the sun is down then [ms of UTC]
 */
export function daylightEndMs(table: DoseTable, fromMs: number): number {
  if (zenithAt(table, fromMs) >= 90) return fromMs;
  let { node } = nodeBefore(table, fromMs);
  while (node < table.zeniths.length - 1 && (table.zeniths[node + 1] ?? 90) < 90) node += 1;
  return Math.max(fromMs, table.startMs + node * table.stepSeconds * 1000);
}

/**
 * Time from an instant until a wanted dose has fallen, by bisection on the summed dose, which never falls.
 * @param from start of the exposure [ms of UTC] and wanted dose [action-weighted J/m²], above 0
 * @param from.untilMs where to give up; the table's end when absent
 * @returns seconds, to a hundredth of one; null when the dose is not reached in time.
 */
export function secondsToDose(
  table: DoseTable,
  from: { readonly startMs: number; readonly dose: number; readonly untilMs?: number },
): number | null {
  const endMs = Math.min(from.untilMs ?? Infinity, tableEndMs(table));
  const already = doseUntil(table, from.startMs);
  const wanted = already + from.dose;
  if (from.startMs >= endMs || !(doseUntil(table, endMs) >= wanted)) return null;
  const { high: reachedMs } = bisection({
    low: Math.max(from.startMs, table.startMs),
    high: endMs,
    isBelow: (atMs) => doseUntil(table, atMs) < wanted,
    width: 10,
  });
  return (reachedMs - from.startMs) / 1000;
}
