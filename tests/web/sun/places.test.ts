// What depends on day, hour and place, by page and API, in both halves of the earth on servers of other zones.
import request from "supertest";
import { describe, expect, it, vi } from "vitest";
import type { SunExposureAnswer } from "#shared/schema/sun/exposure.ts";
import {
  dayOf,
  placeQuery,
  placesOfBothHalves,
  serverClockOf,
  shownSeconds,
  timeOfDay,
} from "../../support/studios/places-of-both-halves.ts";
import { saveSunTest } from "../../support/studios/sun-tests.ts";
import { testApp } from "../../support/test-app.ts";

const minuteMs = 60_000;

describe.each(placesOfBothHalves)("in $city, the server by the clock of $serverZone", (place) => {
  serverClockOf(place);
  const { city, latitude, longitude, timeZone, summer, winter, serverZone } = place;
  const summerSun = { latitude, longitude, startedAt: summer, timeZone, tiltDegrees: 0, facingDegrees: 0 };

  async function studio(seconds = 240) {
    const { app, store } = testApp();
    const test = await saveSunTest(store, { sun: summerSun }, seconds);
    const page = async (path: string, status = 200): Promise<string> =>
      (await request(app).get(path).expect(status)).text;
    const api = async (startAt: string, more: object = {}): Promise<SunExposureAnswer> => {
      const asked = { latitude, longitude, timeZone, startAt, anchorTestId: test.id, ...more };
      return (await request(app).post("/api/sun/exposures").send(asked).expect(200)).body as SunExposureAnswer;
    };
    return { app, store, test, page, api };
  }

  it("now is now by the clock of the place, on the page and by the API", async () => {
    expect(Intl.DateTimeFormat().resolvedOptions().timeZone).toBe(serverZone);
    const { page, api } = await studio();
    const text = await page(`/sun?${new URLSearchParams({ city }).toString()}`);
    const answer = await api(new Date(Date.parse(summer)).toISOString());
    expect(answer.startAt).toBe(summer);
    expect(answer.day.date).toBe(dayOf(summer));
    expect(text).toContain(`out at ${timeOfDay(summer)}`);
    // 240 s are what the test of that very hour told.
    expect(answer.seconds).toBeCloseTo(240, 0);
    expect(Math.abs(shownSeconds(text) - 240)).toBeLessThanOrEqual(3);
    expect(text).toMatch(/id="date"[^>]*value=""/);
    expect(text).toMatch(/id="time"[^>]*value=""/);
  });

  it("half a year later, a test leads to a plan by its own place's clock, whose sunset is the API's", async () => {
    const { test, page, api } = await studio();
    const href = /href="(\/sun\?[^"]*anchor=[^"]*)"/.exec(await page(`/tests/${test.id}`))?.[1] ?? "";
    const plan = await page(`${href.replaceAll("&amp;", "&")}&date=${dayOf(winter)}&time=${timeOfDay(winter)}`);
    const answer = await api(winter);
    expect(answer.day.sunsetAt?.slice(19)).toBe(winter.slice(19));
    expect(plan).toContain(`Sunset</dt><dd>${timeOfDay(answer.day.sunsetAt ?? "")}`);
    expect(plan).toContain(`Sunrise</dt><dd>${timeOfDay(answer.day.sunriseAt ?? "")}`);
    // The sun is up longest about midway: within half an hour of 12, or of 13 where clocks are ahead for the summer.
    expect(Math.abs(shownSeconds(plan) - (answer.seconds ?? 0))).toBeLessThanOrEqual(1);
    expect(answer.seconds).toBeGreaterThan(300);
  });

  it("under passing clouds the sky is said with the time, and from another season no verdict is green", async () => {
    const { test, page, api } = await studio();
    const cloudy = placeQuery(place, summer, { anchor: `test:${test.id}`, sky: "passing-cloud" });
    expect(await page(`/sun?${cloudy}`)).toContain("passing clouds make it longer");
    const under = await api(summer, { sky: "passing-cloud" });
    expect(under.sky).toBe("passing-cloud");
    expect((under.upperSeconds ?? 0) / 240).toBeGreaterThan(1.5);
    const later = await page(`/sun?${placeQuery(place, winter, { anchor: `test:${test.id}` })}`);
    expect((await api(winter)).warnings.map(({ code }) => code)).toContain("far-from-anchor");
    expect(later).toContain("A time with a doubt");
    expect(later).not.toMatch(/notice ok/);
  });

  it("two prints that contradict each other give no green verdict, on the page as by the API", async () => {
    const { test, store, page, api } = await studio();
    const forgotten = await saveSunTest(store, { sun: summerSun }, 240 * 9);
    const anchors = `&anchor=test:${test.id}&anchor=test:${forgotten.id}`;
    const text = await page(`/sun?${placeQuery(place, summer)}${anchors}`);
    expect(text).toContain("untick the one that you trust less");
    expect(text).not.toMatch(/notice ok/);
    const answer = await api(summer, { anchorTestId: undefined, anchorTestIds: [test.id, forgotten.id] });
    expect(answer.warnings.map(({ code }) => code)).toContain("anchors-disagree");
  });

  it("a tilted frame is told by page and API when it is turned from the sun", async () => {
    const { test, page, api } = await studio();
    const tilted = (facing: number) => ({ tiltDegrees: 70, facingDegrees: facing });
    const [towards, away] = [await api(winter, tilted(place.equator)), await api(winter, tilted(place.pole))];
    const codes = (answer: SunExposureAnswer): string[] => answer.warnings.map(({ code }) => code);
    expect(codes(away)).toContain("turned-from-sun");
    expect(codes(towards)).not.toContain("turned-from-sun");
    const asked = (more: Record<string, string>): string =>
      `/sun?${placeQuery(place, winter, { anchor: `test:${test.id}`, tiltDegrees: "70", ...more })}`;
    expect(await page(asked({ facingDegrees: String(place.pole) }))).toContain("turned from the sun");
    // Nobody said where it faces: the equator is meant.
    const shown = await page(asked({}));
    expect(shown).not.toContain("turned from the sun");
    expect(Math.abs(shownSeconds(shown) - (towards.seconds ?? 0))).toBeLessThanOrEqual(1);
  });

  it("a test says under which sun its seconds are true, on its pages and in its record", async () => {
    const { app, test, page } = await studio();
    const words = new RegExp(`In a sun like that of [^<]*, ${timeOfDay(summer)}, \\d\\d° high`);
    expect(await page(`/tests/${test.id}`)).toMatch(words);
    expect(await page(`/tests/${test.id}/large`)).toMatch(words);
    const { body } = await request(app).get(`/api/tests/${test.id}`).expect(200);
    expect(body.request.sun).toMatchObject({ startedAt: summer, timeZone });
  });

  describe("a frame outside", () => {
    async function frameOut() {
      const made = await studio();
      const { app, store, test } = made;
      await request(app)
        .post("/sun/frames")
        .type("form")
        .send({ city, anchor: `test:${test.id}`, chosen: "yes", name: "Fern" })
        .expect(303);
      const { id } = store.sunFrames.list()[0]!;
      const now = async () => (await request(app).get(`/api/sun/frames/${id}`).expect(200)).body.now;
      const post = (path: string, fields: Record<string, string>, status = 303) =>
        request(app).post(`/sun/frames/${id}${path}`).type("form").send(fields).expect(status);
      return { ...made, id, now, post };
    }
    const passed = (minutes: number) => vi.setSystemTime(Date.parse(summer) + minutes * minuteMs);
    /** Time of day there, so many minutes after it went out. */
    const clockAfter = (minutes: number): string => {
      const [hour = 0, minute = 0] = timeOfDay(summer).split(":").map(Number);
      const all = hour * 60 + minute + minutes;
      return `${String(Math.floor(all / 60)).padStart(2, "0")}:${String(all % 60).padStart(2, "0")}`;
    };

    it("that is overdue says since when by the clock there, and the API the same instant", async () => {
      const { page, now } = await frameOut();
      passed(12);
      expect(await page("/sun/frames")).toMatch(
        new RegExp(`since ${clockAfter(4)}, 8 min over: \\d+ % of the light it wants, about 1\\.[56] stops too much`),
      );
      const { reachedAt, stopsOver } = await now();
      expect(Math.abs(Date.parse(reachedAt) - Date.parse(summer) - 4 * minuteMs)).toBeLessThan(5000);
      expect(stopsOver).toBeCloseTo(Math.log2(3), 1);
    });

    it("whose sun has just gone says when it is done if the sun comes back and if it does not", async () => {
      const { page, now, post } = await frameOut();
      passed(1);
      await post("/press", { press: "hide" });
      passed(1 + 1 / 60);
      const text = await page("/sun/frames");
      const said = /that is at (\d\d:\d\d); if it stays hidden: in at (\d\d:\d\d)/.exec(text);
      expect(said?.[1]).toBe(clockAfter(4));
      // Three minutes are left; under the hidden sun they take about 1 / 0.45 as long.
      expect([clockAfter(7), clockAfter(8)]).toContain(said?.[2]);
      expect(text).not.toContain("Not before sunset");
      expect(timeOfDay(await now().then((each) => each.bringInAt))).not.toBe("");
    });

    it("forgotten for hours has no judgement chosen, and is kept by neither page nor API unasked", async () => {
      const { app, store, id, page, post } = await frameOut();
      passed(137);
      await post("/press", { press: "in" });
      const text = await page("/sun/frames");
      expect(text).toContain("If a press was forgotten");
      expect(/<input[^>]*name="neededStops"[^>]*checked/.exec(text)).toBeNull();
      await post("/judge", { neededStops: "0" }, 400);
      const judge = (body: object) => request(app).post(`/api/sun/frames/${id}/anchor`).send(body);
      expect((await judge({ neededStops: 0 }).expect(400)).body.detail).toContain("If a press was forgotten");
      expect(store.sunAnchors.list()).toEqual([]);
      // Eight times too much can be said, and is kept once it is meant.
      await judge({ neededStops: -3, sure: true }).expect(201);
      expect(store.sunAnchors.list()).toHaveLength(1);
    });
  });
});
