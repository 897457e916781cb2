// What a press on a run sheet does; the rules are ours, so the cases are written out one by one.
import { describe, expect, it } from "vitest";
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
});
