import { describe, expect, it } from "vitest";
import { burnedHours } from "#shared/prints/burned-hours.ts";
import type { RunStep } from "#shared/schema/prints.ts";
import { outcomeEvidence } from "#shared/prints/outcome-evidence.ts";
import { outcomeWords } from "#shared/words/print-words.ts";
import {
  currentStepIndex,
  cutShortSeconds,
  defaultProcedure,
  exposedSeconds,
  printStateOf,
  runStepsFrom,
  stepStateAt,
} from "#shared/prints/procedure.ts";

const at = (seconds: number): string => new Date(Date.UTC(2026, 4, 1, 12) + seconds * 1000).toISOString();
const ms = (seconds: number): number => Date.parse(at(seconds));

describe("run sheet", () => {
  it("when a print begins, takes the planned exposure, five minutes for each bath and one in peroxide", () => {
    const steps = runStepsFrom(defaultProcedure, 480);
    expect(steps.map((step) => step.seconds)).toEqual([480, 300, 60, 300, null]);
    expect(printStateOf(steps)).toBe("planned");
    expect(currentStepIndex(steps)).toBe(0);
  });

  it("an exposure in parts sums to the planned time, with the lamp warm before and rests between", () => {
    const plan = { parts: 3, restSeconds: 120, warmUpSeconds: 300, note: "sky held back" };
    const steps = runStepsFrom(defaultProcedure, 480, plan);
    expect(steps.slice(0, 6).map(({ name, seconds }) => [name, seconds])).toEqual([
      ["Lamp warms up", 300],
      ["Exposure, part 1 of 3", 160],
      ["Lamp rests", 120],
      ["Exposure, part 2 of 3", 160],
      ["Lamp rests", 120],
      ["Exposure, part 3 of 3", 160],
    ]);
    const exposures = steps.filter(({ kind }) => kind === "exposure");
    expect(exposures.every(({ note }) => note === "sky held back")).toBe(true);
    // Only the exposures count as exposure, not the rests between them.
    const done = steps.map((each, index) => ({ ...each, startedAt: at(index * 200), endedAt: at(index * 200 + 150) }));
    expect(exposedSeconds(done, 480)).toBe(450);
  });

  it("a press that would cut a step short is known by what is left: more than a fifth of the plan", () => {
    const [first] = runStepsFrom(defaultProcedure, 100);
    const running = { ...first!, startedAt: at(0) };
    expect(cutShortSeconds(running, ms(10))).toBe(90);
    expect(cutShortSeconds(running, ms(79))).toBe(21);
    expect(cutShortSeconds(running, ms(81))).toBeNull();
    expect(cutShortSeconds(first, ms(10))).toBeNull();
    expect(cutShortSeconds({ ...running, seconds: null }, ms(10))).toBeNull();
  });

  it("when a step runs, counts down past zero", () => {
    const [first] = runStepsFrom(defaultProcedure, 60);
    const running = { ...first!, startedAt: at(0) };
    expect(stepStateAt(running, ms(20))).toEqual({ kind: "running", ranSeconds: 20, leftSeconds: 40 });
    expect(stepStateAt(running, ms(75))).toEqual({ kind: "running", ranSeconds: 75, leftSeconds: -15 });
    expect(stepStateAt({ ...running, endedAt: at(75) }, ms(500))).toEqual({ kind: "done", ranSeconds: 75 });
  });

  it("when all steps ended, is finished and knows what the exposure really took", () => {
    const steps = runStepsFrom(defaultProcedure, 60).map((step, index) => ({
      ...step,
      startedAt: at(index * 100),
      endedAt: at(index * 100 + 70),
    }));
    expect(printStateOf(steps)).toBe("finished");
    expect(currentStepIndex(steps)).toBe(-1);
    expect(exposedSeconds(steps, 60)).toBe(70);
    expect(exposedSeconds(runStepsFrom(defaultProcedure, 60), 60)).toBe(60);
  });
});

describe("hours that a lamp burned", () => {
  it("are those of warming up and exposing, without rests, baths, pauses and steps that were never timed", () => {
    const plan = { parts: 2, restSeconds: 600, warmUpSeconds: 300, note: "" };
    const [warmUp, first, rest, second, bath] = runStepsFrom(defaultProcedure, 3600, plan);
    const timed = (step: RunStep | undefined, seconds: number, pausedSeconds = 0): RunStep => ({
      ...step!,
      startedAt: at(0),
      endedAt: at(seconds),
      pausedSeconds,
    });
    const steps = [timed(warmUp, 360), timed(first, 1900, 100), timed(rest, 600), timed(bath, 300), second!];
    expect(burnedHours([{ steps }])).toBeCloseTo((360 + 1800) / 3600, 12);
    expect(burnedHours([{ steps }], at(1))).toBe(0);
  });
});

describe("outcomeEvidence", () => {
  const range = { lowerSeconds: 400, upperSeconds: 500 };

  it("when one print was judged, says that it is too few", () => {
    expect(outcomeEvidence({ ...range, prints: [{ seconds: 450, outcome: "too-light" }] }).verdict).toBe("too-few");
  });

  it("when prints at the calibrated time come out too light, speaks for a longer time", () => {
    const evidence = outcomeEvidence({
      ...range,
      prints: [
        { seconds: 450, outcome: "too-light" },
        { seconds: 520, outcome: "too-light" },
        { seconds: 450, outcome: "right" },
      ],
    });
    expect(evidence.verdict).toBe("says-longer");
    expect(evidence.tooLightUpToSeconds).toBe(520);
    expect(outcomeWords(evidence)).toContain("8:40");
  });

  it("when prints at the calibrated time come out too dark, speaks for a shorter time", () => {
    expect(
      outcomeEvidence({
        ...range,
        prints: [
          { seconds: 450, outcome: "too-dark" },
          { seconds: 410, outcome: "too-dark" },
        ],
      }).verdict,
    ).toBe("says-shorter");
  });

  it("when a print far below the range is too light, finds no contradiction", () => {
    expect(
      outcomeEvidence({
        ...range,
        prints: [
          { seconds: 200, outcome: "too-light" },
          { seconds: 210, outcome: "too-light" },
          { seconds: 450, outcome: "right" },
        ],
      }).verdict,
    ).toBe("agrees");
  });

  it("when the outcomes contradict each other, looks for another cause", () => {
    expect(
      outcomeEvidence({
        ...range,
        prints: [
          { seconds: 450, outcome: "too-light" },
          { seconds: 450, outcome: "too-dark" },
        ],
      }).verdict,
    ).toBe("mixed");
  });
});
