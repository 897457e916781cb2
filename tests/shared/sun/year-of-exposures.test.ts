import { describe, expect, it } from "vitest";
import { exposurePlan } from "#shared/sun/exposure-plan.ts";
import { calendarDay, clockOfZone, dayStretch, instantOf } from "#shared/sun/local-clock.ts";
import { sceneFrom } from "#shared/sun/sky/scene.ts";
import { yearOfExposures } from "#shared/sun/year-of-exposures.ts";

const dose = 50_000;
const yearAt = (latitude: number, longitude: number, zone: string) =>
  yearOfExposures({
    scene: sceneFrom({ latitude, longitude, tiltDegrees: 0, facingDegrees: 180 }),
    clock: clockOfZone(zone),
    dose,
    year: 2026,
  });

describe("yearOfExposures", () => {
  it("at any hour of any month, gives what the planner gives for that day", () => {
    const zone = clockOfZone("Europe/Lisbon");
    const months = yearAt(38.72, -9.14, "Europe/Lisbon");
    expect(months).toHaveLength(12);
    for (const [month, hour] of [
      [1, 12],
      [6, 9],
      [9, 17],
      [12, 13],
    ] as const) {
      const startMs = instantOf(
        zone,
        `2026-${String(month).padStart(2, "0")}-15`,
        `${String(hour).padStart(2, "0")}:00`,
      );
      const plan = exposurePlan({
        scene: sceneFrom({ latitude: 38.72, longitude: -9.14, tiltDegrees: 0, facingDegrees: 180 }),
        sky: "clear",
        startMs,
        day: dayStretch(zone, calendarDay(zone, startMs)),
        scaledBy: { dose },
      });
      expect((months[month - 1]?.secondsByHour[hour] ?? NaN) / (plan.seconds ?? NaN)).toBeCloseTo(1, 2);
    }
  });

  it("is quickest in June in the north and in December in the south", () => {
    const quickest = (months: ReturnType<typeof yearAt>): number | undefined =>
      months.toSorted(
        (a, b) =>
          Math.min(...a.secondsByHour.map((s) => s ?? Infinity)) -
          Math.min(...b.secondsByHour.map((s) => s ?? Infinity)),
      )[0]?.month;
    expect([6, 7]).toContain(quickest(yearAt(48.86, 2.35, "Europe/Paris")));
    expect([12, 1]).toContain(quickest(yearAt(-33.87, 151.21, "Australia/Sydney")));
  });

  it("with a wall round the frame, leaves out the hours in which the planner finds the sun behind it", () => {
    // A house in the south, 30 degrees high: in Paris the December noon sun (about 18 degrees) stays behind it, the
    // June one (about 64 degrees) stands clear of it.
    const horizonDegrees = [0, 0, 0, 0, 0, 30, 30, 30, 0, 0, 0, 0];
    const zone = clockOfZone("Europe/Paris");
    const scene = sceneFrom({ latitude: 48.86, longitude: 2.35, tiltDegrees: 0, facingDegrees: 180, horizonDegrees });
    const months = yearOfExposures({ scene, clock: zone, dose, year: 2026 });
    expect(months[11]?.secondsByHour[12]).toBeNull();
    expect(months[5]?.secondsByHour[13]).not.toBeNull();
    for (const month of [1, 3, 6, 10]) {
      for (const hour of [8, 10, 12, 14, 16, 18]) {
        const day = `2026-${String(month).padStart(2, "0")}-15`;
        const startMs = instantOf(zone, day, `${String(hour).padStart(2, "0")}:00`);
        const planned = exposurePlan({ scene, sky: "clear", startMs, day: dayStretch(zone, day), scaledBy: { dose } });
        expect([day, hour, months[month - 1]?.secondsByHour[hour] === null]).toEqual([
          day,
          hour,
          planned.seconds === null,
        ]);
      }
    }
  });

  it("in the polar night, has no time", () => {
    const [january] = yearAt(69.65, 18.96, "Europe/Oslo");
    expect(january?.secondsByHour.every((seconds) => seconds === null)).toBe(true);
  });
});
