// Frames outside, from going out to the anchor that their print becomes. The sun's own numbers are checked in
// tests/shared/sun.
import { describe, expect, it } from "vitest";
import { beginSunFrameSchema, judgeSunFrameSchema } from "#shared/schema/sun/frame.ts";
import { frameCalendar } from "#src/studio/sun/frame-calendar.ts";
import { beginSunFrame, changeSunFrame, forgetSunFrame, judgeSunFrame } from "#src/studio/sun/sun-frames.ts";
import { lisbonNoon, saveSunTest } from "../../support/studios/sun-tests.ts";
import { testApp } from "../../support/test-app.ts";

const { startedAt, ...place } = lisbonNoon;
const minuteLater = (minutes: number): string => new Date(Date.parse(startedAt) + minutes * 60_000).toISOString();

async function outside(changes: object = {}) {
  const { store } = testApp();
  const test = await saveSunTest(store);
  const plan = { ...place, startAt: startedAt, timeZone: "Europe/Lisbon", anchorTestId: test.id, ...changes };
  return { store, test, begin: () => beginSunFrame({ store }, beginSunFrameSchema.parse({ name: "Fern", plan })) };
}

describe("beginSunFrame", () => {
  it("puts a frame out by a plan, with the dose and the materials of its anchor", async () => {
    const { store, test, begin } = await outside();
    const frame = begin();
    expect(store.sunFrames.get(frame.id)).toEqual(frame);
    expect(frame).toMatchObject({ name: "Fern", endedAt: null, hidden: [], supportId: test.request.supportId });
    expect(frame.dose).toBeGreaterThan(frame.lowerDose);
  });

  it("when the plan gives no time, puts nothing out", async () => {
    const { store, begin } = await outside({ startAt: "2026-06-10T01:00:00+01:00" });
    expect(begin).toThrow(expect.objectContaining({ code: "bad-request", field: "plan" }));
    expect(store.sunFrames.list()).toEqual([]);
  });
});

describe("changeSunFrame", () => {
  it("ends a hidden stretch with the frame, and refuses an end before the start", async () => {
    const { store, begin } = await outside();
    const { id } = begin();
    changeSunFrame({ store }, id, { hidden: [{ fromAt: minuteLater(2), untilAt: null }] });
    const ended = changeSunFrame({ store }, id, { endedAt: minuteLater(5) });
    expect(ended.hidden).toEqual([{ fromAt: minuteLater(2), untilAt: minuteLater(5) }]);
    expect(() => changeSunFrame({ store }, id, { endedAt: minuteLater(-5) })).toThrow(
      expect.objectContaining({ code: "bad-request" }),
    );
    expect(store.sunFrames.get(id).endedAt).toBe(minuteLater(5));
  });
});

describe("judgeSunFrame", () => {
  const right = judgeSunFrameSchema.parse({ neededStops: 0 });

  it("makes the exposure an anchor; judged again, it replaces that anchor", async () => {
    const { store, begin } = await outside();
    const { id } = begin();
    expect(() => judgeSunFrame({ store }, id, right)).toThrow(expect.objectContaining({ field: "neededStops" }));
    changeSunFrame({ store }, id, { endedAt: minuteLater(4) });
    const first = judgeSunFrame({ store }, id, right);
    expect(first).toMatchObject({ name: "Fern", neededStops: 0 });
    const second = judgeSunFrame({ store }, id, judgeSunFrameSchema.parse({ neededStops: 0.5 }));
    expect(store.sunAnchors.list().map((anchor) => anchor.id)).toEqual([second.id]);
    expect(store.sunFrames.get(id).anchorId).toBe(second.id);
  });

  it("when it had ten times its light, asks back before it is kept", async () => {
    const { store, begin } = await outside();
    const { id } = begin();
    changeSunFrame({ store }, id, { endedAt: minuteLater(45) });
    expect(() => judgeSunFrame({ store }, id, right)).toThrow(expect.objectContaining({ field: "sure" }));
    expect(store.sunAnchors.list()).toEqual([]);
    expect(judgeSunFrame({ store }, id, { ...right, sure: true }).name).toBe("Fern");
  });
});

describe("forgetSunFrame", () => {
  it("forgets the frame and keeps the anchor that it became", async () => {
    const { store, begin } = await outside();
    const { id } = begin();
    changeSunFrame({ store }, id, { endedAt: minuteLater(4) });
    judgeSunFrame({ store }, id, judgeSunFrameSchema.parse({ neededStops: 0 }));
    forgetSunFrame({ store }, id);
    expect(store.sunFrames.list()).toEqual([]);
    expect(store.sunAnchors.list()).toHaveLength(1);
  });
});

describe("frameCalendar", () => {
  it("calls when the frame has had its light: four minutes after a start whose test says 240 s", async () => {
    const { store, begin } = await outside();
    const frame = begin();
    const nowMs = Date.parse(startedAt) + 60_000;
    const text = frameCalendar(frame, nowMs);
    // RFC 5545: a start in UTC, and an alarm.
    const [, start = ""] = /DTSTART:(\d{8}T\d{6}Z)/.exec(text) ?? [];
    const startMs = Date.parse(start.replace(/(\d{4})(\d\d)(\d\d)T(\d\d)(\d\d)(\d\d)Z/, "$1-$2-$3T$4:$5:$6Z"));
    expect(Math.abs(startMs - Date.parse(startedAt) - 240_000)).toBeLessThan(6000);
    expect(text).toContain("BEGIN:VALARM");
    const ended = changeSunFrame({ store }, frame.id, { endedAt: minuteLater(4) });
    expect(() => frameCalendar(ended, nowMs)).toThrow(expect.objectContaining({ code: "bad-request" }));
  });
});
