// What a press on a run sheet does; the rules are ours, so the cases are written out one by one.
import { describe, expect, it } from "vitest";
import { stepStateAt } from "#shared/prints/procedure.ts";
import { stepsAfter } from "#shared/prints/steps-after.ts";
import type { RunStep } from "#shared/schema/prints.ts";
import { troubleOf } from "../../support/trouble-of.ts";

const at = "2026-05-01T10:00:00.000Z";
const later = "2026-05-01T10:20:00.000Z";
const step = (name: string, startedAt: string | null = null, endedAt: string | null = null): RunStep => ({
  name,
  kind: "bath",
  seconds: 300,
  note: "",
  startedAt,
  endedAt,
  pausedAt: null,
  pausedSeconds: 0,
});

describe("stepsAfter", () => {
  it("when a step begins, ends the one that runs at the same instant", () => {
    const steps = stepsAfter([step("expose", at), step("wash")], { index: 1, act: "start", at: later });
    expect(steps).toEqual([step("expose", at, later), step("wash", later)]);
  });

  it("when the press comes twice, changes nothing", () => {
    const running = [step("expose", at), step("wash")];
    expect(stepsAfter(running, { index: 0, act: "start", at: later })).toEqual(running);
    const done = [step("expose", at, later)];
    expect(stepsAfter(done, { index: 0, act: "end", at: "2026-05-01T11:00:00.000Z" })).toEqual(done);
  });

  it("when a step that ended is begun again, counts from the new start", () => {
    expect(stepsAfter([step("expose", at, at)], { index: 0, act: "start", at: later })).toEqual([
      step("expose", later),
    ]);
  });

  it("when a step never begun is ended, takes it as done in no time", () => {
    expect(stepsAfter([step("expose")], { index: 0, act: "end", at })).toEqual([step("expose", at, at)]);
  });

  it("when a step is set back, forgets both its times and no other's", () => {
    const steps = [step("expose", at, later), step("wash", later)];
    expect(stepsAfter(steps, { index: 0, act: "reset", at: later })).toEqual([step("expose"), step("wash", later)]);
  });

  it.each([
    [{ index: 7, act: "start", at }, "no-such-step"],
    [{ index: 0, act: "skip", at }, "no-such-press"],
  ])("when the press is none (%o), says so", (press, code) => {
    expect(troubleOf(() => stepsAfter([step("expose")], press))).toMatchObject({ code, errorCode: "bad-request" });
  });

  it("a pause stops the clock and going on takes it up again; pressed twice, nothing more happens", () => {
    const running = [step("wash", "2026-05-01T10:00:00.000Z")];
    const press = (steps: readonly RunStep[], act: string, minute: string): RunStep[] =>
      stepsAfter(steps, { index: 0, act, at: `2026-05-01T10:${minute}:00.000Z` });
    const paused = press(press(running, "pause", "02"), "pause", "03");
    const leftAt = (steps: readonly RunStep[], minute: string): number | null => {
      const state = stepStateAt(steps[0]!, Date.parse(`2026-05-01T10:${minute}:00.000Z`));
      return "leftSeconds" in state ? state.leftSeconds : null;
    };
    // Five minutes planned, two of them run: three are left for as long as it pauses.
    expect([leftAt(paused, "02"), leftAt(paused, "09")]).toEqual([180, 180]);
    const goingOn = press(press(paused, "resume", "12"), "resume", "13");
    expect([leftAt(goingOn, "12"), leftAt(goingOn, "14")]).toEqual([180, 60]);
    expect(stepStateAt(press(goingOn, "end", "15")[0]!, Number.NaN)).toEqual({ kind: "done", ranSeconds: 300 });
    // Ended while it pauses, it ended when the pause began.
    expect(stepStateAt(press(paused, "end", "30")[0]!, Number.NaN)).toEqual({ kind: "done", ranSeconds: 120 });
    expect(press(paused, "reset", "31")[0]).toMatchObject({ startedAt: null, pausedAt: null, pausedSeconds: 0 });
  });

  it("a minute more lengthens the plan of that step alone; one that ends by looking has none", () => {
    const steps = [step("wash"), { ...step("dry"), seconds: null }];
    expect(stepsAfter(steps, { index: 0, act: "minute", at }).map(({ seconds }) => seconds)).toEqual([360, null]);
    expect(stepsAfter(steps, { index: 1, act: "minute", at })).toEqual(steps);
  });
});
