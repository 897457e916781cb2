import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { anchorFrom } from "#shared/sun/anchors/anchor.ts";
import { exposurePlan, type ExposurePlan, type PlanRequest } from "#shared/sun/exposure-plan.ts";
import { clockOfZone, calendarDay, dayStretch, instantOf, isoInstant } from "#shared/sun/local-clock.ts";
import { sceneFrom, type SceneInput } from "#shared/sun/sky/scene.ts";
import { printingStrength, readyScene } from "#shared/sun/sky/printing-strength.ts";

const lisbon = { latitude: 38.72, longitude: -9.14, tiltDegrees: 0, facingDegrees: 0 };
const zone = clockOfZone("Europe/Lisbon");

function plan(
  change: { scene?: Partial<SceneInput>; day?: string; time?: string; zone?: string } & Partial<
    Omit<PlanRequest, "scene" | "day">
  >,
): ExposurePlan {
  const clock = change.zone === undefined ? zone : clockOfZone(change.zone);
  const startMs = change.startMs ?? instantOf(clock, change.day ?? "2026-06-10", change.time ?? "14:30");
  return exposurePlan({
    scene: sceneFrom({ ...lisbon, ...change.scene }),
    sky: change.sky ?? change.scene?.sky ?? "clear",
    startMs,
    day: dayStretch(clock, calendarDay(clock, startMs)),
    scaledBy: change.scaledBy === undefined ? { dose: 50_000 } : change.scaledBy,
  });
}

/** An anchor of ten minutes at noon, wanting as much as it got. */
function noonAnchor(scene: Partial<SceneInput> = {}) {
  const anchor = anchorFrom("noon", {
    scene: sceneFrom({ ...lisbon, ...scene }),
    startMs: instantOf(zone, "2026-06-10", "13:30"),
    exposureSeconds: 600,
    wantedMultiple: 1,
    lowerMultiple: 0.95,
    upperMultiple: 1.05,
  });
  if (anchor === null) throw new Error("no sun");
  return anchor;
}

describe("exposurePlan", () => {
  it("for the anchor's own hour, gives the anchor's own time within a narrow range", () => {
    const answer = plan({ time: "13:30", scaledBy: { anchors: [noonAnchor()] } });
    expect(answer.verdict).toBe("ok");
    expect(answer.seconds ?? NaN).toBeCloseTo(600, 0);
    expect((answer.upperSeconds ?? NaN) / 600).toBeCloseTo(Math.exp(Math.hypot(Math.log(1.05), 0.1)), 2);
    expect((answer.lowerSeconds ?? NaN) / 600).toBeCloseTo(Math.exp(-Math.hypot(Math.log(0.95), 0.1)), 2);
  });

  it("later in the day, takes longer, with a wider range", () => {
    const early = plan({ time: "13:30", scaledBy: { anchors: [noonAnchor()] } });
    const late = plan({ time: "18:00", scaledBy: { anchors: [noonAnchor()] } });
    expect(late.seconds ?? NaN).toBeGreaterThan(1.5 * (early.seconds ?? NaN));
    const width = (answer: ExposurePlan): number => (answer.upperSeconds ?? NaN) / (answer.lowerSeconds ?? NaN);
    expect(width(late)).toBeGreaterThan(width(early));
  });

  it("gives the time at which the strength summed second by second reaches the dose", () => {
    const answer = plan({ time: "17:40" });
    const ready = readyScene(sceneFrom(lisbon));
    let sum = 0;
    const seconds = Math.round(answer.seconds ?? NaN);
    for (let s = 0; s < seconds; s += 1) sum += printingStrength(ready, answer.startMs + (s + 0.5) * 1000);
    expect(Math.abs(sum / 50_000 - 1)).toBeLessThan(0.001);
  });

  it("when the sun sets first, says not-before-sunset and gives no time", () => {
    expect(plan({ time: "18:30", scaledBy: { dose: 2e6 } })).toMatchObject({
      verdict: "not-before-sunset",
      seconds: null,
      lowerSeconds: null,
      upperSeconds: null,
    });
  });

  it.each([
    ["06:30", "sun-low-at-start"],
    ["23:30", "sun-down"],
    ["03:00", "sun-down"],
  ])("at %s, with the sun below 10°, says sun-too-low", (time, note) => {
    expect(plan({ time })).toMatchObject({ verdict: "sun-too-low", seconds: null, notes: [note] });
  });

  it("when the end would fall below 10°, says sun-too-low", () => {
    expect(plan({ time: "19:30", scaledBy: { dose: 25_000 } })).toMatchObject({
      verdict: "sun-too-low",
      seconds: null,
      notes: ["sun-low-at-end"],
    });
  });

  it("without anchor and dose, shows the day's strength and no time at all", () => {
    const answer = plan({ scaledBy: null });
    expect(answer).toMatchObject({ verdict: "no-anchor", seconds: null });
    expect(answer.points.length).toBeGreaterThan(80);
    expect(
      answer.points.every(
        (point) => point.seconds === null && point.lowerSeconds === null && point.upperSeconds === null,
      ),
    ).toBe(true);
    expect(Math.max(...answer.points.map((point) => point.strengthShare))).toBe(1);
    expect(answer.bestWindow).not.toBeNull();
  });

  it("under an overcast sky, gives no time; under passing cloud, the clear time with a range and a note", () => {
    expect(plan({ sky: "overcast" })).toMatchObject({ verdict: "sky-unsuitable", seconds: null });
    const clear = plan({});
    const cloudy = plan({ sky: "passing-cloud" });
    expect(cloudy.seconds).toBe(clear.seconds);
    expect(cloudy.upperSeconds ?? NaN).toBeGreaterThan(2 * (clear.upperSeconds ?? NaN));
    expect(cloudy.notes).toContain("passing-cloud");
  });

  it("in open shade, takes a shade anchor and no other, and longer than in the sun", () => {
    expect(plan({ scene: { sky: "open-shade" }, scaledBy: { anchors: [noonAnchor()] } })).toMatchObject({
      verdict: "sky-unsuitable",
      notes: ["shade-needs-shade-anchor"],
    });
    expect(plan({ scaledBy: { anchors: [noonAnchor({ sky: "open-shade" })] } })).toMatchObject({
      verdict: "sky-unsuitable",
      notes: ["sun-needs-sun-anchor"],
    });
    const shade = plan({
      time: "13:30",
      scene: { sky: "open-shade" },
      scaledBy: { anchors: [noonAnchor({ sky: "open-shade" })] },
    });
    expect(shade.verdict).toBe("ok");
    expect(shade.seconds ?? NaN).toBeCloseTo(600, 0);
  });

  it("when the glass differs from the anchor's, has no anchor", () => {
    expect(plan({ scene: { glass: true }, scaledBy: { anchors: [noonAnchor()] } })).toMatchObject({
      verdict: "no-anchor",
      notes: ["glass-differs"],
    });
  });

  it("in the polar night and the polar day, stays calm", () => {
    const tromso = { latitude: 69.6492, longitude: 18.9553 };
    const night = plan({ scene: tromso, zone: "Europe/Oslo", day: "2026-12-21", time: "12:00" });
    expect(night).toMatchObject({ verdict: "sun-too-low", points: [], bestWindow: null });
    expect(night.sunDay.kind).toBe("down");
    const midnight = plan({ scene: tromso, zone: "Europe/Oslo", day: "2026-06-21", time: "23:50" });
    expect(midnight).toMatchObject({ verdict: "sun-too-low", notes: ["sun-low-at-start"] });
    expect(midnight.points).toHaveLength(144);
    expect(
      plan({
        scene: { latitude: -90, longitude: 0 },
        zone: "UTC",
        day: "2026-12-21",
        time: "12:00",
        scaledBy: { dose: 1e9 },
      }).verdict,
    ).toBe("not-before-sunset");
  });

  it("in the southern hemisphere, advises to face north", () => {
    const { tilt } = plan({
      scene: { latitude: -42.88, longitude: 147.33 },
      zone: "Australia/Hobart",
      day: "2026-07-01",
      time: "12:15",
    });
    expect(Math.min(tilt?.facingDegrees ?? NaN, 360 - (tilt?.facingDegrees ?? NaN))).toBeLessThan(2);
    expect(tilt?.tiltDegrees ?? NaN).toBeGreaterThan(40);
    expect(tilt?.gain ?? NaN).toBeGreaterThan(1.5);
  });

  it("during a change of the clocks, counts real seconds", () => {
    // Afternoon in Hawaii on a clock set to Lisbon's time, which goes from 02:00 back to 01:00 at 15:00 in Hawaii.
    const hawaii = { latitude: 21.3, longitude: -157.86 };
    const startMs = instantOf(zone, "2026-10-25", "01:30");
    const answer = plan({ scene: hawaii, startMs, scaledBy: { dose: 170_000 } });
    expect(answer.seconds ?? NaN).toBeGreaterThan(3000);
    expect(answer.seconds).toBeCloseTo(
      plan({ scene: hawaii, startMs, zone: "Pacific/Honolulu", scaledBy: { dose: 170_000 } }).seconds ?? NaN,
      0,
    );
    expect(isoInstant(zone, startMs)).toBe("2026-10-25T01:30:00+01:00");
    expect(isoInstant(zone, startMs + 3_600_000)).toBe("2026-10-25T01:30:00+00:00");
  });

  it("on a leap day and on either side of the date line, agrees with the same instant elsewhere", () => {
    const leap = plan({ day: "2028-02-29", time: "12:30" });
    const first = plan({ day: "2028-03-01", time: "12:30" });
    expect(leap.verdict).toBe("ok");
    expect(Math.abs((leap.seconds ?? NaN) / (first.seconds ?? NaN) - 1)).toBeLessThan(0.02);
    const startMs = Date.parse("2026-12-31T23:45:00Z");
    const fiji = plan({ scene: { latitude: -18.12, longitude: 180 }, zone: "Pacific/Fiji", startMs });
    const west = plan({ scene: { latitude: -18.12, longitude: -180 }, zone: "Pacific/Pago_Pago", startMs });
    expect(fiji.seconds).toBeCloseTo(west.seconds ?? NaN, 1);
  });

  it("with the time growing with the dose and the range about it, holds for any place, day and frame", () => {
    fc.assert(
      fc.property(
        fc.record({
          latitude: fc.double({ min: -66, max: 66, noNaN: true }),
          longitude: fc.double({ min: -180, max: 180, noNaN: true }),
          tiltDegrees: fc.integer({ min: 0, max: 60 }),
          facingDegrees: fc.integer({ min: 0, max: 359 }),
        }),
        fc.integer({
          min: Date.parse("2026-01-01T00:00:00Z") / 3_600_000,
          max: Date.parse("2028-12-31T00:00:00Z") / 3_600_000,
        }),
        fc.double({ min: 3, max: 5.5, noNaN: true }),
        (scene, hour, logDose) => {
          const at = { scene, zone: "UTC", startMs: hour * 3_600_000 };
          const once = plan({ ...at, scaledBy: { dose: 10 ** logDose } });
          const more = plan({ ...at, scaledBy: { dose: 1.3 * 10 ** logDose } });
          expect(once.seconds === null).toBe(once.verdict !== "ok");
          if (once.seconds === null) return;
          expect(once.lowerSeconds ?? NaN).toBeLessThan(once.seconds);
          expect(once.upperSeconds ?? Infinity).toBeGreaterThan(once.seconds);
          if (more.seconds !== null) expect(more.seconds).toBeGreaterThan(once.seconds);
        },
      ),
      { numRuns: 25, seed: 7 },
    );
  });

  it("takes less than 20 ms of processor time", () => {
    for (let i = 0; i < 5; i += 1) plan({ scaledBy: { anchors: [noonAnchor()] } });
    const before = process.cpuUsage();
    for (let i = 0; i < 10; i += 1) plan({ scaledBy: { anchors: [noonAnchor()] } });
    expect(process.cpuUsage(before).user / 1000 / 10).toBeLessThan(20);
  });
});
