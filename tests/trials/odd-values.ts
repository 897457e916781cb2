// What no sensible person types: texts and numbers at the edges, under field names that the program knows.
import { seededRandom } from "#shared/statistics/random.ts";

export const oddTexts = [
  "",
  " ",
  "\u0000",
  "\u202Eabc",
  "\uD800",
  "<script>alert(1)</script>",
  "'; DROP TABLE tests; --",
  "../../etc/passwd",
  "=1+1",
  "%00",
  "%E0%A4%A",
  "{}",
  "[]",
  "null",
  "undefined",
  "NaN",
  "1e999",
  "-1",
  "0",
  "𝟘",
  "x".repeat(5000),
  "__proto__",
  "constructor",
  "2026-13-45T99:99:99Z",
  "2026-05-01T14:30:00+02:00",
  "9999-12-31T23:59:59Z",
  "0001-01-01T00:00:00Z",
  "ℵ".repeat(200),
  "true",
] as const;
const oddNumbers = [
  0,
  -0,
  1,
  -1,
  0.5,
  1e-300,
  1e300,
  Number.MAX_SAFE_INTEGER,
  -Number.MAX_SAFE_INTEGER,
  5e-324,
  255,
  256,
  65_536,
  1e7,
  90,
  180,
  360,
  12.5,
] as const;

/** Field names that the program knows, so that a mutation gets past the door more often. */
export const fieldNames = [
  "name",
  "notes",
  "kind",
  "lampId",
  "supportId",
  "coatingId",
  "filmId",
  "exposureSeconds",
  "tablet",
  "seconds",
  "steps",
  "increment",
  "firstDensity",
  "densities",
  "levels",
  "corners",
  "channel",
  "targetShare",
  "madeAt",
  "sun",
  "latitude",
  "longitude",
  "startAt",
  "startedAt",
  "tiltDegrees",
  "facingDegrees",
  "dose",
  "anchorTestId",
  "widthMm",
  "heightMm",
  "distanceMm",
  "dpi",
  "mirror",
  "format",
  "testId",
  "testIds",
  "points",
  "level",
  "percent",
  "recipe",
  "lines",
  "amount",
  "unit",
  "volumeMl",
  "procedure",
  "version",
  "archived",
  "baseDensity",
  "maxDensity",
  "outcome",
  "areaCm2",
  "limit",
  "after",
  "search",
  "share",
  "target",
  "request",
  "photo",
  "back",
  "theme",
] as const;

export interface OddValues {
  /** A whole number from 0 to below. */
  whole(below: number): number;
  pick<Item>(items: readonly Item[]): Item;
  value(depth?: number): unknown;
  /** A body of which one to three parts are made odd. */
  mutated(body: Record<string, unknown>): Record<string, unknown>;
}

/** The same values for the same seed, in order. */
export function oddValues(seed: number): OddValues {
  const random = seededRandom(seed);
  const whole = (below: number): number => Math.floor(random.uniform() * below);
  const pick = <Item>(items: readonly Item[]): Item => items[whole(items.length)]!;

  function value(depth = 0): unknown {
    const kind = whole(depth > 3 ? 5 : 8);
    if (kind < 2) return pick(oddTexts);
    if (kind < 4) return pick(oddNumbers);
    if (kind === 4) return pick([null, true, false]);
    if (kind === 5) return Array.from({ length: whole(6) }, () => value(depth + 1));
    return Object.fromEntries(Array.from({ length: whole(6) }, () => [pick(fieldNames), value(depth + 1)]));
  }

  function mutated(body: Record<string, unknown>): Record<string, unknown> {
    const copy = { ...body };
    for (let change = 0; change < 1 + whole(3); change++) copy[pick([...Object.keys(body), ...fieldNames])] = value();
    return copy;
  }

  return { whole, pick, value, mutated };
}
