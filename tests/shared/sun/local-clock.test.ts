import { describe, expect, it } from "vitest";
import {
  calendarDay,
  clockFitsLongitude,
  clockOfOffset,
  clockOfZone,
  clockTime,
  dayStretch,
  instantOf,
  isoInstant,
  nextDay,
} from "#shared/sun/local-clock.ts";
import { troubleOf } from "../../support/trouble-of.ts";

const lisbon = clockOfZone("Europe/Lisbon");
const denver = clockOfZone("America/Denver");
const hourMs = 3_600_000;

describe("clockOfZone", () => {
  it("in summer and winter, carries the zone's own offset", () => {
    expect(isoInstant(denver, Date.parse("2026-07-01T20:00:00Z"))).toBe("2026-07-01T14:00:00-06:00");
    expect(isoInstant(denver, Date.parse("2026-01-01T20:00:00Z"))).toBe("2026-01-01T13:00:00-07:00");
  });

  it("in zones of odd minutes and beyond the date line, is right", () => {
    const at = Date.parse("2026-06-01T11:30:00Z");
    expect(isoInstant(clockOfZone("Asia/Kathmandu"), at)).toBe("2026-06-01T17:15:00+05:45");
    expect(isoInstant(clockOfZone("Pacific/Kiritimati"), at)).toBe("2026-06-02T01:30:00+14:00");
    expect(calendarDay(clockOfZone("Pacific/Pago_Pago"), at)).toBe("2026-06-01");
  });

  it("when the name is unknown, says so", () => {
    expect(troubleOf(() => clockOfZone("Mars/Olympus"))).toMatchObject({
      code: "unknown-time-zone",
      zone: "Mars/Olympus",
      field: "timeZone",
    });
  });
});

describe("instantOf", () => {
  it("on an ordinary day, is undone by the clock", () => {
    const at = instantOf(lisbon, "2026-05-01", "14:30");
    expect(isoInstant(lisbon, at)).toBe("2026-05-01T14:30:00+01:00");
    expect(clockTime(lisbon, at)).toBe("14:30");
  });

  it("in the hour that daylight saving skips, counts on from the change", () => {
    // Clocks in Lisbon went from 01:00 to 02:00 on 29 March 2026.
    expect(isoInstant(lisbon, instantOf(lisbon, "2026-03-29", "01:30"))).toBe("2026-03-29T02:30:00+01:00");
  });

  it("in the hour that comes twice, is the first", () => {
    expect(isoInstant(denver, instantOf(denver, "2026-11-01", "01:30"))).toBe("2026-11-01T01:30:00-06:00");
  });

  it.each([
    ["2026-02-29", "10:00"],
    ["2026-04-31", "10:00"],
    ["tomorrow", "10:00"],
    ["2026-05-01", "25:00"],
    ["2026-05-01", "noon"],
  ])("for %s %s, is refused", (day, time) => {
    expect(troubleOf(() => instantOf(lisbon, day, time))).toMatchObject({ code: "no-such-time", day, time });
  });

  it("on a leap day, is accepted", () => {
    expect(isoInstant(lisbon, instantOf(lisbon, "2028-02-29", "12:00"))).toBe("2028-02-29T12:00:00+00:00");
  });
});

describe("dayStretch", () => {
  it.each([
    ["2026-03-29", 23],
    ["2026-10-25", 25],
    ["2026-05-01", 24],
  ])("on %s in Lisbon, is %d hours long", (day, hours) => {
    const { fromMs, untilMs } = dayStretch(lisbon, day);
    expect((untilMs - fromMs) / hourMs).toBe(hours);
  });

  it("where midnight itself is skipped, starts at the first instant of the day", () => {
    // Beirut's clocks go forward at midnight.
    const beirut = clockOfZone("Asia/Beirut");
    expect(isoInstant(beirut, dayStretch(beirut, "2026-03-29").fromMs)).toBe("2026-03-29T01:00:00+03:00");
  });
});

describe("clockOfOffset", () => {
  it.each([
    ["2026-05-01T14:30:00+02:00", "+02:00", 120],
    ["2026-05-01T14:30:00-03:30", "-03:30", -210],
    ["2026-05-01T14:30:00Z", "+00:00", 0],
  ])("of %s, keeps its offset", (instant, name, minutes) => {
    const clock = clockOfOffset(instant);
    expect(clock.name).toBe(name);
    expect(clock.offsetMinutesAt(0)).toBe(minutes);
    expect(isoInstant(clock, Date.parse(instant)).slice(0, 19)).toBe(instant.slice(0, 19));
  });
});

describe("nextDay", () => {
  it("over a leap day and a year's end, follows the calendar", () => {
    expect(nextDay("2028-02-28", 1)).toBe("2028-02-29");
    expect(nextDay("2027-02-28", 1)).toBe("2027-03-01");
    expect(nextDay("2027-01-01", -1)).toBe("2026-12-31");
  });
});

describe("clockFitsLongitude", () => {
  const at = Date.parse("2026-07-01T12:00:00Z");
  it.each([
    ["Europe/Lisbon", -9.14],
    ["Europe/Madrid", -8.6],
    ["Asia/Shanghai", 76],
    ["Pacific/Kiritimati", -157.4],
    ["Pacific/Fiji", 178.4],
    ["Pacific/Fiji", -179.9],
    ["America/Denver", -105],
  ])("for %s at %d°, is content", (zone, longitude) => {
    expect(clockFitsLongitude(clockOfZone(zone), longitude, at)).toBe(true);
  });
  it.each([
    ["America/Denver", 105],
    ["Europe/Lisbon", 151],
    ["Australia/Sydney", -9],
  ])("for %s at %d°, objects", (zone, longitude) => {
    expect(clockFitsLongitude(clockOfZone(zone), longitude, at)).toBe(false);
  });
});
