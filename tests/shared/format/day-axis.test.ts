import { describe, expect, it } from "vitest";
import { dayAxis } from "#shared/format/day-axis.ts";

const labels = (...days: readonly string[]): string[] =>
  dayAxis(
    "day",
    days.map((day) => Date.parse(day)),
  ).ticks.map(({ label }) => label);

describe("dayAxis", () => {
  it("within a week names each day; one day alone too", () => {
    expect(labels("2026-05-29T12:00Z", "2026-06-01T12:00Z")).toEqual(["29 May", "30 May", "31 May", "1 Jun", "2 Jun"]);
    expect(labels("2026-05-29T12:00Z")).toEqual(["29 May", "30 May"]);
  });

  it("over months names firsts of months, over years years", () => {
    expect(labels("2025-11-10", "2026-03-20")).toEqual(["Dec 2025", "Jan 2026", "Feb 2026", "Mar 2026"]);
    expect(labels("2020-03-01", "2025-06-01")).toEqual(["2020", "2021", "2022", "2023", "2024", "2025"]);
  });

  it("holds every instant, and refuses none", () => {
    const { min, max } = dayAxis("day", [Date.parse("2026-05-01"), Date.parse("2026-05-20")]);
    expect(min * 86_400_000).toBeLessThan(Date.parse("2026-05-01"));
    expect(max * 86_400_000).toBeGreaterThan(Date.parse("2026-05-20"));
    expect(() => dayAxis("day", [])).toThrow(RangeError);
  });
});
