import { describe, expect, it } from "vitest";
import { lampCooling } from "#shared/prints/lamp-cooling.ts";
import { runStepsFrom } from "#shared/prints/procedure.ts";
import { stepsAfter } from "#shared/prints/steps-after.ts";
import type { RunStep } from "#shared/schema/prints.ts";

const beganMs = Date.parse("2026-05-01T12:00:00Z");
const at = (seconds: number): string => new Date(beganMs + seconds * 1000).toISOString();
const ms = (seconds: number): number => beganMs + seconds * 1000;

const planned = runStepsFrom(
  [
    { name: "Exposure", kind: "exposure", seconds: null, note: "" },
    { name: "Wash", kind: "wash", seconds: 300, note: "" },
  ],
  600,
);
const lit = stepsAfter(planned, { index: 0, act: "start", at: at(0) });
const washed = stepsAfter(lit, { index: 1, act: "start", at: at(600) });
const print = (steps: readonly RunStep[], coolDownSeconds = 240) => ({ steps, coolDownSeconds });

describe("a lamp that cools", () => {
  it("counts from the end of the exposure, while the wash runs", () => {
    expect(lampCooling([print(washed)], ms(610))).toEqual({ sinceMs: ms(600), seconds: 240 });
    expect(lampCooling([print(washed)], ms(839))).not.toBeNull();
    expect(lampCooling([print(washed)], ms(840))).toBeNull();
  });

  it("does not count before the exposure is over, nor where no cooling was asked for", () => {
    expect(lampCooling([print(planned)], ms(0))).toBeNull();
    expect(lampCooling([print(lit)], ms(300))).toBeNull();
    expect(lampCooling([print(washed, 0)], ms(610))).toBeNull();
  });

  it("does not count while another print burns under it, and then from that one's end", () => {
    const second = stepsAfter(planned, { index: 0, act: "start", at: at(700) });
    expect(lampCooling([print(second), print(washed)], ms(710))).toBeNull();
    const secondWashed = stepsAfter(second, { index: 1, act: "start", at: at(1300) });
    expect(lampCooling([print(secondWashed), print(washed)], ms(1310))).toEqual({ sinceMs: ms(1300), seconds: 240 });
  });

  it("counts after the last part of a split exposure alone: rests are steps of their own", () => {
    const split = runStepsFrom([{ name: "Exposure", kind: "exposure", seconds: null, note: "" }], 600, {
      parts: 2,
      restSeconds: 120,
      warmUpSeconds: 60,
      note: "",
    });
    const afterFirst = [0, 1, 2].reduce(
      (steps, index) => stepsAfter(steps, { index, act: "start", at: at(100 * index) }),
      split,
    );
    expect(lampCooling([print(afterFirst)], ms(250))).toBeNull();
    const all = stepsAfter(stepsAfter(afterFirst, { index: 3, act: "start", at: at(300) }), {
      index: 3,
      act: "end",
      at: at(600),
    });
    expect(lampCooling([print(all)], ms(601))).toEqual({ sinceMs: ms(600), seconds: 240 });
  });
});
