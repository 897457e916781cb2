// Anchors that are kept and plans that rest on them. The sun's own numbers are checked in tests/shared/sun.
import { describe, expect, it } from "vitest";
import { sunAnchorInputSchema, sunExposureRequestSchema } from "#shared/schema/sun/exposure.ts";
import { keepSunAnchor } from "#src/studio/sun/keep-sun-anchor.ts";
import { nameOfTest, planSunExposure } from "#src/studio/sun/plan-sun-exposure.ts";
import { lisbonNoon, saveSunTest } from "../../support/studios/sun-tests.ts";
import { testApp } from "../../support/test-app.ts";

const { startedAt, ...place } = lisbonNoon;
const anchor = (changes: object = {}) =>
  sunAnchorInputSchema.parse({
    ...place,
    name: "Noon",
    startedAt,
    endedAt: "2026-06-10T13:40:00+01:00",
    ...changes,
  });
const plan = (changes: object) => sunExposureRequestSchema.parse({ ...place, startAt: startedAt, ...changes });

describe("keepSunAnchor", () => {
  it("keeps a print that came out right, and a plan of the same hour gives its time back", () => {
    const { store } = testApp();
    const kept = keepSunAnchor({ store }, anchor());
    const answer = planSunExposure({ store }, plan({ anchorIds: [kept.id] }));
    expect(answer).toMatchObject({ verdict: "ok", anchors: [{ id: kept.id, name: "Noon" }] });
    expect(Math.abs((answer.seconds ?? 0) / 600 - 1)).toBeLessThan(0.01);
  });

  it.each([
    ["under an overcast sky", { sky: "overcast" }, "sky"],
    ["at night", { startedAt: "2026-06-10T01:00:00+01:00", endedAt: "2026-06-10T01:10:00+01:00" }, "startedAt"],
    ["of a film that is not there", { filmId: "nope" }, "filmId"],
  ])("refuses one %s, names the field and keeps nothing", (_what, changes, field) => {
    const { store } = testApp();
    expect(() => keepSunAnchor({ store }, anchor(changes))).toThrow(
      expect.objectContaining({ code: "bad-request", field }),
    );
    expect(store.sunAnchors.list()).toEqual([]);
  });
});

describe("planSunExposure", () => {
  it("scaled by a saved test, gives its time at its own hour and a longer one in the late afternoon", async () => {
    const { store } = testApp();
    const test = await saveSunTest(store);
    const at = (startAt: string): number | null =>
      planSunExposure({ store }, plan({ startAt, anchorTestId: test.id })).seconds;
    // Its advice is 240 s, and ten minutes of a noon sun hardly change.
    expect(Math.abs((at(startedAt) ?? 0) / 240 - 1)).toBeLessThan(0.02);
    expect(at("2026-06-10T18:00:00+01:00")).toBeGreaterThan(300);
  });

  it("when an anchor is not there, names the field; when the clock cannot be the place's, warns", () => {
    const { store } = testApp();
    expect(() => planSunExposure({ store }, plan({ anchorTestId: "nope" }))).toThrow(
      expect.objectContaining({ field: "anchorTestId" }),
    );
    expect(() => planSunExposure({ store }, plan({ anchorIds: ["nope"] }))).toThrow(
      expect.objectContaining({ field: "anchorIds" }),
    );
    const { warnings } = planSunExposure({ store }, plan({ dose: 1000, timeZone: "Asia/Tokyo" }));
    expect(warnings.map(({ code }) => code)).toContain("clock-does-not-fit");
  });
});

describe("nameOfTest", () => {
  it("is the test's own name, or the day on which it stood in the sun", async () => {
    const test = await saveSunTest(testApp().store);
    expect(nameOfTest(test)).toBe("First sun test");
    expect(nameOfTest({ ...test, request: { ...test.request, name: "" } })).toBe("Test of 2026-06-10");
    const indoors = { ...test.request, name: "", sun: null, madeAt: "2026-04-02T10:00:00Z" };
    expect(nameOfTest({ createdAt: "2026-11-28T10:00:00Z", request: indoors })).toBe("Test of 2026-04-02");
  });
});
