import { describe, expect, it } from "vitest";
import { daylightEndMs, doseBetween, doseTable, secondsToDose } from "#shared/sun/dose.ts";
import { printingStrength, readyScene, type SunScene } from "#shared/sun/sky/printing-strength.ts";
import { simpsonWeight } from "../../support/simpson-weight.ts";

const scene: SunScene = {
  place: { latitude: 40.015, longitude: -105.2705 },
  elevationM: 1655,
  plane: { tiltDegrees: 0, facingDegrees: 0 },
  haze: 0.1,
  groundShare: 0.2,
  glass: false,
  light: "open-sun",
};
const ready = readyScene(scene);
const startMs = Date.parse("2026-04-15T15:00:00-06:00");
const hourMs = 3_600_000;

/** Dose by Simpson's rule in steps of ten seconds, apart from the table. */
function simpson(fromMs: number, untilMs: number): number {
  const n = 2 * Math.ceil((untilMs - fromMs) / 20_000);
  const h = (untilMs - fromMs) / n;
  let sum = 0;
  for (let i = 0; i <= n; i += 1) sum += printingStrength(ready, fromMs + i * h) * simpsonWeight(i, n);
  return (sum * h) / 3000;
}

describe("doseTable", () => {
  const exact = simpson(startMs, startMs + 2 * hourMs);
  it.each([
    [300, 0.003],
    [600, 0.014],
    [1200, 0.06],
    [3600, 0.5],
  ])("over a Boulder afternoon in steps of %d s, errs by the published %d %%", (stepSeconds, percent) => {
    const table = doseTable(ready, { startMs, endMs: startMs + 2 * hourMs, stepSeconds });
    const error = Math.abs(doseBetween(table, startMs, startMs + 2 * hourMs) / exact - 1) * 100;
    expect(error).toBeLessThan(percent * 1.25);
    expect(error).toBeGreaterThan(percent * 0.75);
  });

  it("between two instants off its nodes, agrees with a finer integral", () => {
    const table = doseTable(ready, { startMs, endMs: startMs + 3 * hourMs });
    const [from, until] = [startMs + 77_000, startMs + 5_311_000];
    expect(Math.abs(doseBetween(table, from, until) / simpson(from, until) - 1)).toBeLessThan(1e-5);
  });

  it("when the span is empty, is refused as a mistake of ours", () => {
    expect(() => doseTable(ready, { startMs, endMs: startMs })).toThrow(RangeError);
  });

  it("asks for the sun once at each node: twice the steps are twice the work, and no more", () => {
    let looks = 0;
    const watched = new Proxy(ready, {
      get(target, key, receiver): unknown {
        looks += 1;
        return Reflect.get(target, key, receiver);
      },
    });
    const looksFor = (stepSeconds: number): number => {
      looks = 0;
      doseTable(watched, { startMs, endMs: startMs + 3 * hourMs, stepSeconds });
      return looks;
    };
    // An afternoon of sun, three hours: 4 nodes an hour apart, 37 nodes five minutes apart.
    const perNode = looksFor(3600) / 4;
    expect(perNode).toBeGreaterThan(0);
    expect(looksFor(300)).toBe(37 * perNode);
  });
});

describe("secondsToDose", () => {
  const table = doseTable(ready, { startMs, endMs: startMs + 8 * hourMs });

  it.each([60, 600, 3000, 9000])("for the dose of the first %d seconds, gives those seconds back", (seconds) => {
    const dose = doseBetween(table, startMs, startMs + seconds * 1000);
    expect(Math.abs((secondsToDose(table, { startMs, dose }) ?? NaN) - seconds)).toBeLessThan(0.02);
  });

  it("when the sun sets first, is null", () => {
    expect(secondsToDose(table, { startMs, dose: 1e9 })).toBeNull();
  });

  it("as the sun sinks, takes more than twice the time for twice the dose", () => {
    const once = secondsToDose(table, { startMs, dose: 50_000 }) ?? NaN;
    const twice = secondsToDose(table, { startMs, dose: 100_000 }) ?? NaN;
    expect(twice).toBeGreaterThan(2 * once);
    expect(twice).toBeLessThan(3 * once);
  });
});

describe("daylightEndMs", () => {
  it("from an afternoon, is that day's sunset; at night, is the instant itself", () => {
    const table = doseTable(ready, { startMs, endMs: startMs + 24 * hourMs });
    const endMs = daylightEndMs(table, startMs);
    expect(printingStrength(ready, endMs)).toBeGreaterThan(0);
    expect(printingStrength(ready, endMs + 240_000)).toBe(0);
    expect(daylightEndMs(table, startMs + 8 * hourMs)).toBe(startMs + 8 * hourMs);
  });
});
