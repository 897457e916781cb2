import { describe, expect, it } from "vitest";
import { doseBetween, doseTable } from "#shared/sun/dose.ts";
import { readyScene } from "#shared/sun/sky/printing-strength.ts";
import { sceneFrom } from "#shared/sun/sky/scene.ts";
import { witnessedDose, type WitnessStep } from "#shared/sun/frames/witness-strip.ts";
import { cloudyHour } from "../../../bench/witness.ts";

const startMs = Date.parse("2026-06-10T13:00:00Z");
const minuteMs = 60_000;
const table = doseTable(
  readyScene(sceneFrom({ latitude: 38.72, longitude: -9.14, tiltDegrees: 0, facingDegrees: 0 })),
  {
    startMs,
    endMs: startMs + 120 * minuteMs,
    stepSeconds: 60,
  },
);
const clearDose = (fromMs: number, untilMs: number): number => doseBetween(table, fromMs, untilMs);

describe("witnessedDose", () => {
  it("under broken cloud, tells the dose within 0.15 stop in 95 of 100 hours, and its range holds", () => {
    const hours = Array.from({ length: 300 }, (_, index) => cloudyHour(10_000 + index, 0.01));
    const off = hours.map(({ stopsOff }) => stopsOff).sort((a, b) => a - b);
    const cloud = hours.map(({ cloudStops }) => cloudStops).sort((a, b) => a - b);
    // What it is worth: the clouds themselves took half a stop in the middle of these hours.
    expect(cloud[150]).toBeGreaterThan(0.3);
    expect(off[Math.floor(0.95 * off.length)]).toBeLessThan(0.15);
    expect(hours.filter(({ isHeld }) => isHeld).length / hours.length).toBeGreaterThan(0.9);
  });

  it("under a clear sky, tells what the model reckons", () => {
    const frame = { fromMs: startMs, untilMs: startMs + 20 * minuteMs };
    const steps = [0, 10].map((minute): WitnessStep => {
      const fromMs = startMs + minute * minuteMs;
      return { fromMs, untilMs: frame.untilMs, dose: clearDose(fromMs, frame.untilMs), sigmaLn: 0.01 };
    });
    expect(witnessedDose({ steps, frame, clearDose })?.clearShare).toBeCloseTo(1, 1);
  });

  it("when the long step is too dark to tell, goes on with the shorter ones, less sure", () => {
    const frame = { fromMs: startMs, untilMs: startMs + 40 * minuteMs };
    const step = (minute: number, isTold: boolean): WitnessStep => {
      const fromMs = startMs + minute * minuteMs;
      return {
        fromMs,
        untilMs: frame.untilMs,
        dose: isTold ? 0.6 * clearDose(fromMs, frame.untilMs) : null,
        sigmaLn: 0.05,
      };
    };
    const all = witnessedDose({ steps: [step(0, true), step(20, true)], frame, clearDose });
    const part = witnessedDose({ steps: [step(0, false), step(20, true)], frame, clearDose });
    expect(all?.clearShare).toBeCloseTo(0.6, 1);
    expect((part?.highest ?? 0) / (part?.lowest ?? 1)).toBeGreaterThan(
      2 * ((all?.highest ?? 0) / (all?.lowest ?? 1)) - 1,
    );
    expect(part?.toldSteps).toBe(1);
  });

  it("without any step that tells, has no dose", () => {
    const frame = { fromMs: startMs, untilMs: startMs + 40 * minuteMs };
    expect(witnessedDose({ steps: [{ ...frame, dose: null, sigmaLn: 0.1 }], frame, clearDose })).toBeNull();
  });
});
