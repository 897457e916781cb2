// A queue of negatives over one day's sun, as a plan, a calendar and a page.
import { describe, expect, it } from "vitest";
import { sunDayRequestSchema } from "#shared/schema/sun/day.ts";
import { dayPlanPdf } from "#src/output/day-plan.ts";
import { sunDayCalendar, sunDayPdf } from "#src/studio/sun/day-papers.ts";
import { planSunDay } from "#src/studio/sun/plan-sun-day.ts";
import { hasPoppler, pdfFacts } from "../../support/pictures/pdf-facts.ts";
import { lisbonNoon, saveSunTest } from "../../support/studios/sun-tests.ts";
import { testApp } from "../../support/test-app.ts";

const { startedAt, ...place } = lisbonNoon;

async function planned(changes: object = {}) {
  const { store } = testApp();
  const { id } = await saveSunTest(store);
  const request = sunDayRequestSchema.parse({
    plan: { ...place, startAt: startedAt, timeZone: "Europe/Lisbon", anchorTestId: id },
    negatives: [
      { name: "Fern", anchorTestIds: [id] },
      { name: "Moss", anchorTestIds: [id] },
    ],
    ...changes,
  });
  return planSunDay({ store }, request);
}

describe("planSunDay", () => {
  it("with one frame, lays one after the other, each with about its test's 240 s at noon", async () => {
    const { places, leftOver, date } = await planned({ frames: 1 });
    expect(date).toBe("2026-06-10");
    expect(leftOver).toEqual([]);
    expect(places.map(({ name }) => name)).toEqual(["Fern", "Moss"]);
    for (const { seconds } of places) expect(Math.abs(seconds / 240 - 1)).toBeLessThan(0.03);
    expect(Date.parse(places[1]!.outAt)).toBeGreaterThanOrEqual(Date.parse(places[0]!.inAt));
  });

  it("after sunset, leaves all of them over and says why", async () => {
    const { store } = testApp();
    const { id } = await saveSunTest(store);
    const request = sunDayRequestSchema.parse({
      plan: { ...place, startAt: "2026-06-10T22:00:00+01:00", timeZone: "Europe/Lisbon" },
      negatives: [{ name: "Fern", anchorTestIds: [id] }],
    });
    const { places, leftOver } = planSunDay({ store }, request);
    expect(places).toEqual([]);
    expect(leftOver).toMatchObject([{ name: "Fern" }]);
  });
});

describe("the day on paper and in a calendar", () => {
  it("the calendar calls twice for each frame, with times of its own (RFC 5545)", async () => {
    const text = sunDayCalendar(await planned(), Date.parse(startedAt));
    expect(text.match(/BEGIN:VEVENT/g)).toHaveLength(4);
    expect(text.match(/BEGIN:VALARM/g)).toHaveLength(4);
    const uids = [...text.matchAll(/^UID:(.*)$/gm)].map(([, uid]) => uid);
    expect(new Set(uids).size).toBe(4);
  });

  it.skipIf(!hasPoppler)("the page holds every negative with its times (needs poppler-utils)", async () => {
    const answer = await planned();
    const { text } = pdfFacts(await sunDayPdf(answer));
    for (const { name, outAt, inAt } of answer.places)
      expect(text).toMatch(new RegExp(`${outAt.slice(11, 16)}\\s+${inAt.slice(11, 16)}\\s+${name}`));
    const left = {
      title: "Day",
      clock: "by the clock of Lisbon",
      rows: [],
      leftOver: ["Fern: no room"],
      footing: "Keep safe.",
    };
    expect(pdfFacts(await dayPlanPdf(left)).text).toContain("Fern: no room");
  });
});
