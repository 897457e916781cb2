import { describe, expect, it } from "vitest";
import { doseClockReading, type FrameOutside } from "#shared/sun/frames/dose-clock.ts";
import { countedDose } from "#shared/sun/frames/counted-dose.ts";
import { sceneFrom } from "#shared/sun/sky/scene.ts";

const scene = sceneFrom({ latitude: 38.72, longitude: -9.14, tiltDegrees: 0, facingDegrees: 0 });
const startMs = Date.parse("2026-06-10T13:30:00+01:00");
const minuteMs = 60_000;
const tenMinutes = countedDose(scene, { startMs, endMs: startMs + 10 * minuteMs }).likely;
const frame: FrameOutside = { scene, startMs, hidden: [], wanted: { dose: tenMinutes, lowerLn: 0.1, upperLn: 0.1 } };

describe("doseClockReading", () => {
  it("half way under a free sun, has half the dose and the end where the plan put it", () => {
    const reading = doseClockReading(frame, startMs + 5 * minuteMs);
    expect(reading.share).toBeCloseTo(0.5, 2);
    expect((reading.bringInMs ?? NaN) - startMs).toBeCloseTo(10 * minuteMs, -3);
    expect(reading.earliestMs ?? NaN).toBeLessThan(reading.bringInMs ?? NaN);
    expect(reading.latestMs ?? NaN).toBeGreaterThan(reading.bringInMs ?? NaN);
    expect(reading.upperShare / reading.share).toBeCloseTo(Math.exp(0.1), 9);
  });

  it("after a hidden stretch, ends later, with a wider range", () => {
    const hidden = { ...frame, hidden: [{ fromMs: startMs + minuteMs, untilMs: startMs + 4 * minuteMs }] };
    const free = doseClockReading(frame, startMs + 5 * minuteMs);
    const reading = doseClockReading(hidden, startMs + 5 * minuteMs);
    expect(reading.hiddenSeconds).toBe(180);
    expect(reading.share).toBeCloseTo(0.5 - 0.3 * 0.55, 2);
    // Three minutes at 0.45 lack 1.65 minutes of free sun.
    expect(((reading.bringInMs ?? NaN) - (free.bringInMs ?? NaN)) / minuteMs).toBeCloseTo(1.65, 1);
    expect((reading.latestMs ?? NaN) - (reading.earliestMs ?? NaN)).toBeGreaterThan(
      (free.latestMs ?? NaN) - (free.earliestMs ?? NaN),
    );
  });

  it("while the sun is hidden, reckons as if it stayed so", () => {
    const reading = doseClockReading(
      { ...frame, hidden: [{ fromMs: startMs, untilMs: null }] },
      startMs + 2 * minuteMs,
    );
    expect(reading.sunHidden).toBe(true);
    expect(((reading.bringInMs ?? NaN) - startMs) / minuteMs).toBeCloseTo(10 / 0.45, 0);
    expect(((reading.latestMs ?? NaN) - startMs) / minuteMs).toBeGreaterThan(10 / 0.3);
  });

  it("when one hidden stretch was pressed as two, or out of order, reads the same", () => {
    const at = startMs + 8 * minuteMs;
    const stretch = (from: number, until: number) => ({
      fromMs: startMs + from * minuteMs,
      untilMs: startMs + until * minuteMs,
    });
    const once = doseClockReading({ ...frame, hidden: [stretch(1, 3)] }, at);
    for (const hidden of [
      [stretch(1, 2), stretch(2, 3)],
      [stretch(2, 3), stretch(1, 2)],
    ]) {
      const pressed = doseClockReading({ ...frame, hidden }, at);
      expect(pressed.hiddenSeconds).toBe(120);
      expect(pressed.share).toBeCloseTo(once.share, 9);
      expect(pressed.lowerShare).toBeCloseTo(once.lowerShare, 9);
      expect(pressed.bringInMs ?? NaN).toBeCloseTo(once.bringInMs ?? NaN, -2);
    }
    // Five minutes free of ten, two at 0.45 and one more free: nothing of it is a clock that ran.
    expect(once.share).toBeCloseTo(0.6 + 0.2 * 0.45, 2);
  });

  it("when the dose is reached, says now", () => {
    const reading = doseClockReading(frame, startMs + 11 * minuteMs);
    expect(reading.share).toBeGreaterThan(1);
    expect(reading.bringInMs).toBe(startMs + 11 * minuteMs);
  });

  it("when the sun sets first, has no end", () => {
    expect(
      doseClockReading({ ...frame, wanted: { ...frame.wanted, dose: tenMinutes * 1000 } }, startMs + minuteMs)
        .bringInMs,
    ).toBeNull();
  });

  it("over a night forgotten outside, adds nothing in the dark", () => {
    const evening = doseClockReading(frame, Date.parse("2026-06-10T22:00:00+01:00"));
    const dawn = doseClockReading(frame, Date.parse("2026-06-11T05:00:00+01:00"));
    expect(dawn.share).toBeCloseTo(evening.share, 6);
  });

  it("when overdue, knows since when, also with the sun hidden on the way", () => {
    const later = startMs + 40 * minuteMs;
    expect(((doseClockReading(frame, later).reachedMs ?? NaN) - startMs) / minuteMs).toBeCloseTo(10, 1);
    const hidden = { ...frame, hidden: [{ fromMs: startMs + minuteMs, untilMs: startMs + 4 * minuteMs }] };
    // Three minutes at 0.45 lack 1.65 minutes of free sun.
    expect(((doseClockReading(hidden, later).reachedMs ?? NaN) - startMs) / minuteMs).toBeCloseTo(11.65, 1);
    expect(doseClockReading(frame, startMs + 5 * minuteMs).reachedMs).toBeNull();
  });

  it("while the sun is hidden, also tells the end if it came back now", () => {
    const hidden = { ...frame, hidden: [{ fromMs: startMs, untilMs: null }] };
    const reading = doseClockReading(hidden, startMs + 2 * minuteMs);
    expect(((reading.bringInIfClearMs ?? NaN) - startMs) / minuteMs).toBeCloseTo(2 + 10 - 2 * 0.45, 1);
    expect(reading.shareAtSunset).toBeGreaterThan(1);
    expect(doseClockReading(frame, startMs + 2 * minuteMs).bringInIfClearMs).toBeNull();
  });
});
