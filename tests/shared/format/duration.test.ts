import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { formatDuration, parseDuration, spokenDuration } from "#shared/format/duration.ts";

describe("formatDuration", () => {
  it.each([
    [0, "0 s"],
    [4.54, "4.5 s"],
    [9.96, "0:10"],
    [59.4, "0:59"],
    [59.5, "1:00"],
    [485, "8:05"],
    [3599.6, "1 h"],
    [5700, "1 h 35 min"],
    [7325, "2 h 2 min 5 s"],
  ])("shows %d s as %s", (seconds, text) => {
    expect(formatDuration(seconds)).toBe(text);
  });

  it("refuses what is no duration", () => {
    expect(() => formatDuration(-1)).toThrow(RangeError);
    expect(() => formatDuration(Number.NaN)).toThrow(RangeError);
  });
});

describe("spokenDuration", () => {
  it.each([
    [1, "1 second"],
    [60, "1 minute"],
    [485, "8 minutes 5 seconds"],
    [3661, "1 hour 1 minute 1 second"],
    [0, "0 seconds"],
  ])("says %d s as %s", (seconds, text) => {
    expect(spokenDuration(seconds)).toBe(text);
  });
});

describe("parseDuration", () => {
  it.each([
    ["8:05", 485],
    ["1:02:03", 3723],
    ["485", 485],
    ["485 s", 485],
    ["8 min", 480],
    ["8,5 min", 510],
    ["1 h", 3600],
    ["1 h 35 min", 5700],
  ])("understands %s", (text, seconds) => {
    expect(parseDuration(text)).toBe(seconds);
  });

  it.each(["", "soon", "8:60", "-3", "1:2:3:4"])("does not guess at %j", (text) => {
    expect(parseDuration(text)).toBeUndefined();
  });

  it("gives back every whole time from ten seconds on that formatDuration wrote", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 10, max: 800_000 }),
        (seconds) => parseDuration(formatDuration(seconds)) === seconds,
      ),
      { seed: 7 },
    );
  });
});
