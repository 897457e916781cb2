// Lengths, numbers and days as a reader asks for them. One inch is 25.4 mm exactly; A4 and Letter by their handbook
// sizes in inches (ISO 216: 210 x 297 mm; ANSI Y14.1: 8.5 x 11 in).
import { afterAll, afterEach, describe, expect, it } from "vitest";
import { formatDuration, spokenDuration } from "#shared/format/duration.ts";
import { formatDay, formatDayAndTime } from "#shared/format/instant.ts";
import {
  formatLength,
  formatSize,
  lengthField,
  lengthNumber,
  lengthUnit,
  withLengthsInMm,
} from "#shared/format/length.ts";
import { formatDensity, formatFixed, formatStops, writtenFixed } from "#shared/format/number.ts";
import { plainTime } from "#shared/format/plain-time.ts";
import {
  usualWriting,
  withOwnDecimals,
  writeAsReaderAsks,
  writingFrom,
  writingText,
  type Writing,
} from "#shared/format/writing.ts";

const as = (chosen: Partial<Writing>) => writeAsReaderAsks(() => ({ ...usualWriting, ...chosen }));
const before = as({});
afterEach(() => void as({}));
// The program's own, which files that run after this one may have wired.
afterAll(() => void writeAsReaderAsks(before));

describe("lengths", () => {
  it("when nothing is chosen, are millimetres", () => {
    expect([formatLength(203.2), formatLength(203.2, 1), formatSize(210, 297)]).toEqual([
      "203 mm",
      "203.2 mm",
      "210 × 297 mm",
    ]);
    expect(lengthUnit()).toBe("mm");
  });

  it("in inches, lose the zeros at their end", () => {
    as({ lengths: "inches" });
    expect(formatSize(215.9, 279.4)).toBe("8.5 × 11 in");
    expect(formatSize(210, 297)).toBe("8.27 × 11.69 in");
    expect([formatLength(25.4 * 100), formatLength(0), lengthNumber(254)]).toEqual(["100 in", "0 in", "10"]);
  });

  it("in inches with a decimal comma, are written with both", () => {
    as({ lengths: "inches", decimals: "comma" });
    expect([formatLength(215.9), formatLength(254)]).toEqual(["8,5 in", "10 in"]);
  });
});

describe("a field for a length", () => {
  const field = { name: "widthMm", unit: "mm", value: "215.9", attributes: { min: 5, max: 10_000, step: "any" } };

  it("in millimetres stays as it is", () => expect(lengthField(field)).toEqual(field));

  it("in inches has a name of its own, and comes back as the same millimetres", () => {
    as({ lengths: "inches" });
    const shown = lengthField(field);
    expect(shown).toMatchObject({ name: "widthInches", unit: "in", value: "8.5", attributes: { step: "any" } });
    expect(shown.attributes["min"]).toBe("0.197");
    expect(withLengthsInMm({ [shown.name]: shown.value, dpi: "300" })).toEqual({ widthMm: "215.9", dpi: "300" });
    expect(withLengthsInMm({ widthInches: "8,5" })).toEqual({ widthMm: "215.9" });
  });

  it("hands on what is no number, to be refused by its usual name", () => {
    expect(withLengthsInMm({ widthInches: "wide" })).toEqual({ widthMm: "wide" });
    expect(withLengthsInMm({ Inches: "1" })).toEqual({ Inches: "1" });
  });

  it("of another unit is not touched", () => {
    as({ lengths: "inches" });
    const other = { ...field, name: "gramsPerM2", unit: "g/m²" };
    expect(lengthField(other)).toEqual(other);
  });
});

describe("numbers with a decimal comma", () => {
  it("are for people; what machines read keeps its point", () => {
    as({ decimals: "comma" });
    expect([formatDensity(1.37), formatFixed(-0.25, 2), formatFixed(3, 0)]).toEqual(["1,37", "−0,25", "3"]);
    expect([formatStops(0.4), formatStops(-0.04), formatStops(0.04)]).toEqual(["+0,4 stop", "0,0 stop", "0,0 stop"]);
    expect([formatDuration(4.5), spokenDuration(4.5), plainTime(4.26)]).toEqual(["4,5 s", "4,5 seconds", "4,3 s"]);
    expect(writtenFixed(1.37, 2)).toBe("1.37");
  });

  it("in a kept sentence change, but versions, clocks and ends of sentences do not", () => {
    as({ decimals: "comma" });
    expect(withOwnDecimals("Depth 1.37 in 8:05. Made by 0.4.1. Step 2.")).toBe(
      "Depth 1,37 in 8:05. Made by 0.4.1. Step 2.",
    );
    as({});
    expect(withOwnDecimals("Depth 1.37.")).toBe("Depth 1.37.");
  });
});

describe("days", () => {
  it.each([
    ["words", "5 May 2026"],
    ["day-month-year", "05/05/2026"],
    ["month-day-year", "05/05/2026"],
    ["iso", "2026-05-05"],
  ] as const)("by %s", (days, written) => {
    as({ days });
    expect(formatDay("2026-05-05T10:00:00+02:00")).toBe(written);
  });

  it("tell the month from the day by the order that was chosen", () => {
    as({ days: "day-month-year" });
    expect(formatDayAndTime("2026-05-31T14:30:00+02:00")).toBe("31/05/2026, 14:30");
    as({ days: "month-day-year" });
    expect(formatDay("2026-05-31")).toBe("05/31/2026");
    expect(formatDay("some day")).toBe("some day");
  });
});

describe("a choice as text", () => {
  it("comes back as it was, and nonsense is as usual", () => {
    const chosen: Writing = { lengths: "inches", decimals: "comma", days: "iso" };
    expect(writingFrom(writingText(chosen))).toEqual(chosen);
    expect(writingFrom("miles.dash.yesterday")).toEqual(usualWriting);
    expect(writingFrom("")).toEqual(usualWriting);
  });
});
