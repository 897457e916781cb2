import { describe, expect, it } from "vitest";
import { countedDose } from "#shared/sun/frames/counted-dose.ts";
import { doseClockReading } from "#shared/sun/frames/dose-clock.ts";
import { printingStrength, readyScene, type SunScene } from "#shared/sun/sky/printing-strength.ts";
import { sceneFrom } from "#shared/sun/sky/scene.ts";

const place = { latitude: 38.72, longitude: -9.14, tiltDegrees: 0, facingDegrees: 180 };
const flat = sceneFrom(place);
const tilted = sceneFrom({ ...place, tiltDegrees: 50 });
const glazed = sceneFrom({ ...place, glass: true });
const startMs = Date.parse("2026-03-10T11:00:00Z");
const minuteMs = 60_000;

/** Strength summed second by second. */
function summed(scene: SunScene, fromMinute: number, untilMinute: number): number {
  const ready = readyScene(scene);
  let sum = 0;
  for (let second = fromMinute * 60; second < untilMinute * 60; second += 1)
    sum += printingStrength(ready, startMs + (second + 0.5) * 1000);
  return sum;
}

describe("countedDose", () => {
  const outside = { startMs, endMs: startMs + 30 * minuteMs };

  it("of a frame turned to the sun after ten minutes, is the sum of both parts", () => {
    const { likely } = countedDose(flat, { ...outside, turns: [{ fromMs: startMs + 10 * minuteMs, scene: tilted }] });
    expect(likely / (summed(flat, 0, 10) + summed(tilted, 10, 30))).toBeCloseTo(1, 4);
  });

  it("of a frame on which glass was laid, is weaker from then on, and less sure", () => {
    const counted = countedDose(flat, { ...outside, turns: [{ fromMs: startMs + 10 * minuteMs, scene: glazed }] });
    expect(counted.likely / (summed(flat, 0, 10) + summed(glazed, 10, 30))).toBeCloseTo(1, 4);
    expect(counted.lowest).toBeLessThan(0.96 * counted.likely);
  });

  it("with a turn told for before it went out, lay so all the time", () => {
    const { likely } = countedDose(flat, { ...outside, turns: [{ fromMs: startMs - minuteMs, scene: tilted }] });
    expect(likely / summed(tilted, 0, 30)).toBeCloseTo(1, 4);
  });

  it("with ten of thirty minutes under cloud that nobody timed, counts them at 0.45 (0.25 to 0.75)", () => {
    const free = countedDose(flat, outside).likely;
    const counted = countedDose(flat, { ...outside, cloudMinutes: 10 });
    expect(counted.likely / free).toBeCloseTo((20 + 10 * 0.45) / 30, 9);
    expect(counted.lowest / free).toBeCloseTo((20 + 10 * 0.25) / 30, 9);
    expect(counted.highest / free).toBeCloseTo((20 + 10 * 0.75) / 30, 9);
  });

  it("with more untimed cloud than minutes outside, counts all as hidden", () => {
    expect(countedDose(flat, { ...outside, cloudMinutes: 900 }).likely / countedDose(flat, outside).likely).toBeCloseTo(
      0.45,
      9,
    );
  });
});

describe("doseClockReading of a turned frame", () => {
  it("knows when it had its light, and reckons on as it lies now", () => {
    const turns = [{ fromMs: startMs + 10 * minuteMs, scene: tilted }];
    const dose = summed(flat, 0, 10) + summed(tilted, 10, 20);
    const frame = { scene: flat, startMs, hidden: [], turns, wanted: { dose, lowerLn: 0.1, upperLn: 0.1 } };
    const early = doseClockReading(frame, startMs + 12 * minuteMs);
    expect(((early.bringInMs ?? NaN) - startMs) / minuteMs).toBeCloseTo(20, 1);
    const late = doseClockReading(frame, startMs + 40 * minuteMs);
    expect(((late.reachedMs ?? NaN) - startMs) / minuteMs).toBeCloseTo(20, 1);
  });
});
