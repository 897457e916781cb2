import { describe, expect, it } from "vitest";
import { seededRandom, type Random } from "#shared/statistics/random.ts";
import { isNewestOutOfLine } from "#shared/studio-model/alarm.ts";
import type { LevelTest } from "#shared/studio-model/one-combination.ts";

const testsOf = (times: readonly number[]): LevelTest[] => times.map((logSeconds) => ({ logSeconds, sigma: 0.015 }));
const asks = (...times: readonly number[]): boolean => isNewestOutOfLine(testsOf(times));
const halfStop = 0.5 * Math.log10(2);

/** Tests made alike, the last of which may be of another speed. */
function stream(seed: number, scatter: number, tests: number, tail = (random: Random) => random.normal()): number[] {
  const random = seededRandom(seed);
  return Array.from({ length: tests }, () => 2.7 + scatter * tail(random) + 0.015 * random.normal());
}

/** Heavy tails: Student's t of four degrees of freedom, scaled to a standard deviation of 1. */
function studentOfFour(random: Random): number {
  const squares = Array.from({ length: 4 }, () => random.normal() ** 2);
  return random.normal() / Math.sqrt(squares.reduce((sum, square) => sum + square, 0) / 2);
}

describe("what asks what changed", () => {
  it("a newest test half a stop off after six that agree, not one within their scatter", () => {
    expect(asks(2, 2.02, 1.99, 2.01, 2, 1.98, 2.16)).toBe(true);
    expect(asks(2, 2.02, 1.99, 2.01, 2, 1.98, 2.04)).toBe(false);
  });

  it("not the same half stop where prints scatter by that much", () => {
    expect(asks(2, 2.09, 1.94, 2.06, 1.97, 1.91, 2.15)).toBe(false);
  });

  it("two newest tests together, where neither does alone", () => {
    const old = [2, 2.04, 1.97, 2.03, 1.98, 2.02];
    expect(asks(...old, 2.14)).toBe(false);
    expect(asks(...old, 2.14, 2.15)).toBe(true);
  });

  it("nothing, of two tests: they contradict each other or not", () => {
    expect(asks(2, 2.5)).toBe(false);
  });

  it("the same, whatever the times are, and for a change either way", () => {
    const old = [2, 2.02, 1.99, 2.01, 2, 1.98];
    for (const [newest, answer] of [
      [2.16, true],
      [1.84, true],
      [2.05, false],
    ] as const) {
      expect(asks(...old, newest)).toBe(answer);
      expect(asks(...old.map((time) => time + 1.3), newest + 1.3)).toBe(answer);
    }
  });

  it.each([0.01, 0.02, 0.03, 0.05])(
    "where prints scatter by %d, cries wolf in about one of twenty streams",
    (scatter) => {
      const streams = 200;
      let cried = 0;
      for (let seed = 70_000; seed < 70_000 + streams; seed++) {
        const tests = testsOf(stream(seed, scatter, 20));
        if (tests.some((_test, i) => isNewestOutOfLine(tests.slice(0, i + 1)))) cried++;
      }
      // At 5 %, more than 18 of 200 cry in one of 200 runs.
      expect(cried).toBeLessThanOrEqual(18);
    },
  );

  it.each([0.01, 0.02, 0.03, 0.05])(
    "where prints scatter by %d with heavy tails, cries wolf in about one of twenty streams too",
    (scatter) => {
      let cried = 0;
      for (let seed = 73_000; seed < 73_200; seed++) {
        const tests = testsOf(stream(seed, scatter, 20, studentOfFour));
        if (tests.some((_test, i) => isNewestOutOfLine(tests.slice(0, i + 1)))) cried++;
      }
      expect(cried).toBeLessThanOrEqual(18);
    },
  );

  it("a change of half a stop, soon: what is lost beside a known scatter is what six tests leave unknown of it", () => {
    const changed = (seed: number, scatter: number, at: number): LevelTest[] =>
      testsOf(stream(seed, scatter, at + 2).map((time, i) => (i + 1 >= at ? time + halfStop : time)));
    const noticed = (scatter: number, at: number, within: number): number => {
      let count = 0;
      for (let seed = 71_000; seed < 71_200; seed++) {
        const tests = changed(seed, scatter, at);
        if (Array.from({ length: within }, (_, i) => at + i).some((n) => isNewestOutOfLine(tests.slice(0, n)))) count++;
      }
      return count / 200;
    };
    expect(noticed(0.01, 7, 1)).toBeGreaterThan(0.7);
    expect(noticed(0.02, 7, 3)).toBeGreaterThan(0.95);
    // After many tests a single one may be a stray; the second one settles it.
    expect(noticed(0.02, 12, 1)).toBeGreaterThan(0.45);
    expect(noticed(0.02, 12, 2)).toBeGreaterThan(0.95);
    expect(noticed(0.03, 7, 3)).toBeGreaterThan(0.88);
    // Told a scatter of 0.05, the best rule found with as few false cries notices 84 of 100.
    expect(noticed(0.05, 7, 3)).toBeGreaterThan(0.68);
  });

  it.each([0.01, 0.02, 0.03, 0.05])(
    "where the rest of the studio tells the scatter of %d, sees more at once and cries wolf no oftener",
    (scatter) => {
      const studio = { median: scatter, logSigma: 0.35 };
      const streams = Array.from({ length: 200 }, (_, i) => stream(72_000 + i, scatter, 20));
      const cried = streams.filter((times) =>
        testsOf(times).some((_test, i, all) => isNewestOutOfLine(all.slice(0, i + 1), studio)),
      );
      expect(cried.length).toBeLessThanOrEqual(18);
      const changed = streams.map((times) => [...times.slice(0, 6), times[6]! + halfStop]);
      const seen = (known: typeof studio | null): number =>
        changed.filter((times) => isNewestOutOfLine(testsOf(times), known)).length;
      if (scatter <= 0.02) expect(seen(studio)).toBeGreaterThan(170);
      if (scatter <= 0.03) expect(seen(studio)).toBeGreaterThan(seen(null));
    },
  );
});
