import { describe, expect, it } from "vitest";
import { clockOfZone, clockTime, dayStretch, type LocalClock } from "#shared/sun/local-clock.ts";
import { sceneFrom } from "#shared/sun/sky/scene.ts";
import { readyScene } from "#shared/sun/sky/printing-strength.ts";
import { sunDay, type SunDay } from "#shared/sun/sun-day.ts";

function dayAt(latitude: number, longitude: number, zone: string, day: string): { sun: SunDay; clock: LocalClock } {
  const clock = clockOfZone(zone);
  return {
    clock,
    sun: sunDay(
      readyScene(sceneFrom({ latitude, longitude, tiltDegrees: 0, facingDegrees: 0 })),
      dayStretch(clock, day),
    ),
  };
}

const hours = (fromMs: number | null, untilMs: number | null): number =>
  ((untilMs ?? NaN) - (fromMs ?? NaN)) / 3_600_000;
const minutesOf = (text: string): number => Number(text.slice(0, 2)) * 60 + Number(text.slice(3));

describe("sunDay", () => {
  // Almanac times, from memory; a minute or two of tolerance for rounding and the exact spot.
  it.each([
    ["London, shortest day", 51.5074, -0.1278, "Europe/London", "2026-12-21", "08:04", "15:53"],
    ["London, longest day", 51.5074, -0.1278, "Europe/London", "2026-06-21", "04:43", "21:21"],
    ["Sydney, longest day", -33.8688, 151.2093, "Australia/Sydney", "2026-12-22", "05:41", "20:05"],
  ])("in %s, gives the almanac's sunrise and sunset", (_name, latitude, longitude, zone, day, rise, set) => {
    const { sun, clock } = dayAt(latitude, longitude, zone, day);
    expect(sun.kind).toBe("ordinary");
    expect(Math.abs(minutesOf(clockTime(clock, sun.sunriseMs ?? NaN)) - minutesOf(rise))).toBeLessThanOrEqual(2);
    expect(Math.abs(minutesOf(clockTime(clock, sun.sunsetMs ?? NaN)) - minutesOf(set))).toBeLessThanOrEqual(2);
  });

  it.each(["2026-03-20", "2026-06-21", "2026-09-23", "2026-12-21"])(
    "on the equator on %s, lasts 12 hours and 6 to 8 minutes",
    (day) => {
      const { sun } = dayAt(0, 0, "UTC", day);
      expect(hours(sun.sunriseMs, sun.sunsetMs)).toBeGreaterThan(12.1);
      expect(hours(sun.sunriseMs, sun.sunsetMs)).toBeLessThan(12.15);
    },
  );

  it("in the polar night, is down and has no useful stretch", () => {
    const { sun } = dayAt(69.6492, 18.9553, "Europe/Oslo", "2026-12-21");
    expect(sun).toMatchObject({ kind: "down", sunriseMs: null, sunsetMs: null, useful: [] });
    expect(sun.highestHeightDegrees).toBeLessThan(0);
  });

  it("in the polar day, is up throughout and useful only while it stands high enough", () => {
    const { sun } = dayAt(69.6492, 18.9553, "Europe/Oslo", "2026-06-21");
    expect(sun).toMatchObject({ kind: "up", sunriseMs: null, sunsetMs: null });
    expect(sun.useful).toHaveLength(1);
    expect(hours(sun.useful[0]?.fromMs ?? null, sun.useful[0]?.untilMs ?? null)).toBeGreaterThan(16);
    expect(hours(sun.useful[0]?.fromMs ?? null, sun.useful[0]?.untilMs ?? null)).toBeLessThan(20);
    expect(sun.highestHeightDegrees).toBeCloseTo(90 - 69.6492 + 23.44, 0);
  });

  it("at the pole in summer, is useful all day", () => {
    const { sun } = dayAt(-90, 0, "UTC", "2026-12-21");
    expect(sun.useful).toHaveLength(1);
    expect(sun.highestHeightDegrees).toBeCloseTo(23.44, 0);
  });

  it("on a day of 25 hours, still finds one sunrise before one sunset", () => {
    const { sun } = dayAt(38.72, -9.14, "Europe/Lisbon", "2026-10-25");
    expect(hours(sun.sunriseMs, sun.sunsetMs)).toBeGreaterThan(10.5);
    expect(hours(sun.sunriseMs, sun.sunsetMs)).toBeLessThan(11.2);
  });

  it("near the date line, is highest at local noon", () => {
    const { sun, clock } = dayAt(-18.1248, 178.4501, "Pacific/Fiji", "2026-12-31");
    expect(Math.abs(minutesOf(clockTime(clock, sun.highestMs)) - minutesOf("12:09"))).toBeLessThanOrEqual(2);
  });
});
