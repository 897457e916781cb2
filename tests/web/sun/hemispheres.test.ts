// The sun of a test and of a plan, by page and API, in zones of both halves of the earth.
import request from "supertest";
import { describe, expect, it } from "vitest";
import { saveSunTest } from "../../support/studios/sun-tests.ts";
import { testApp } from "../../support/test-app.ts";

const places = [
  {
    city: "Sydney",
    sun: { latitude: -33.87, longitude: 151.21, startedAt: "2026-01-10T12:30:00+11:00", timeZone: "Australia/Sydney" },
    equator: 0,
    pole: 180,
  },
  {
    city: "Lisbon",
    sun: { latitude: 38.72, longitude: -9.14, startedAt: "2026-06-10T13:30:00+01:00", timeZone: "Europe/Lisbon" },
    equator: 180,
    pole: 0,
  },
] as const;

describe.each(places)("in $city", ({ sun, equator, pole }) => {
  it("a test says under which sun its time is true, beside the time and on the page for wet hands", async () => {
    const { app, store } = testApp();
    const { id } = await saveSunTest(store, { sun: { ...sun, tiltDegrees: 0, facingDegrees: 0 } });
    for (const path of [`/tests/${id}`, `/tests/${id}/box`]) {
      const page = await request(app).get(path);
      if (page.status === 404) continue;
      expect(page.text).toContain("In a sun like that of");
      expect(page.text).toMatch(/\d+° high/);
    }
  });

  it("a tilted frame whose facing nobody gave faces the equator, on the page as by the API", async () => {
    const { app, store } = testApp();
    const { id } = await saveSunTest(store, { sun: { ...sun, tiltDegrees: 0, facingDegrees: 0 } });
    const { latitude, longitude, startedAt, timeZone } = sun;
    const api = async (facingDegrees: number): Promise<number> => {
      const asked = { latitude, longitude, startAt: startedAt, timeZone, tiltDegrees: 30, facingDegrees };
      const { body } = await request(app)
        .post("/api/sun/exposures")
        .send({ ...asked, anchorTestId: id });
      return (body as { seconds: number }).seconds;
    };
    const [towards, away] = [await api(equator), await api(pole)];
    expect(away).toBeGreaterThan(towards * 1.05);
    const query = new URLSearchParams({
      latitude: String(latitude),
      longitude: String(longitude),
      timeZone,
      date: startedAt.slice(0, 10),
      time: startedAt.slice(11, 16),
      tiltDegrees: "30",
      anchor: `test:${id}`,
      chosen: "yes",
    });
    const { text } = await request(app).get(`/sun?${query.toString()}`).expect(200);
    const shown = /answer-time[^>]*><span aria-hidden="true">(\d+):(\d\d)</.exec(text);
    expect(Math.abs(Number(shown?.[1]) * 60 + Number(shown?.[2]) - towards)).toBeLessThanOrEqual(1);
  });

  it("a plan starts by the clock of the place, whatever zone the server has", async () => {
    const { app, store } = testApp();
    const { id } = await saveSunTest(store, { sun: { ...sun, tiltDegrees: 0, facingDegrees: 0 } });
    const page = await request(app).get(`/tests/${id}`).expect(200);
    const href = /href="(\/sun\?[^"]*anchor=[^"]*)"/.exec(page.text)?.[1]?.replaceAll("&amp;", "&") ?? "";
    expect(href).toContain(encodeURIComponent(sun.timeZone));
    const { text } = await request(app)
      .get(`${href}&date=${sun.startedAt.slice(0, 10)}&time=12:00`)
      .expect(200);
    expect(text).toContain(sun.timeZone.replaceAll("_", " "));
  });
});
