import { afterEach, describe, expect, it, vi } from "vitest";
import request from "supertest";
import type { SunConditions } from "#shared/schema/test.ts";
import { lisbonNoon, saveSunTest } from "../../support/studios/sun-tests.ts";
import { testApp } from "../../support/test-app.ts";

const junePlan = "city=Lisbon&date=2026-06-14&time=15%3A10";
const kept = {
  name: "Garden",
  latitude: 38.72,
  longitude: -9.14,
  startedAt: "2026-06-10T13:30:00+01:00",
  endedAt: "2026-06-10T13:40:00+01:00",
};

afterEach(() => {
  vi.useRealTimers();
});

describe("GET /sun", () => {
  it("without a place, shows the form and how to make a first test, and no time", async () => {
    const { app } = testApp();
    const { text } = await request(app).get("/sun").expect(200);
    expect(text).toContain("Your first test in the sun");
    expect(text).toContain("common practice, no source");
    expect(text).not.toContain("answer-time");
  });

  it("with a place and a sun test, shows its time, range, day and hours without any script", async () => {
    const { app, store } = testApp();
    await saveSunTest(store);
    const { text } = await request(app).get(`/sun?${junePlan}`).expect(200);
    expect(text).toMatch(/answer-time"><span aria-hidden="true">4:\d\d</);
    expect(text).toContain("with 95 % confidence");
    expect(text).toContain('<svg class="plot-still wide"');
    expect(text).toContain("Hour by hour");
    expect(text).toContain("Do not look into the sun");
    expect(text).toMatch(/Sunrise<\/dt><dd>06:1\d/);
  });

  it.each([
    ["2026-11-26T15:15:00Z", "Auckland", "27 November 2026", "04:15"],
    ["2026-11-26T15:15:00Z", "Buenos Aires", "26 November 2026", "12:15"],
  ])("at %s without a day and time, means now by the clock of %s", async (now, city, day, time) => {
    vi.useFakeTimers({ toFake: ["Date"], now: Date.parse(now) });
    const { app, store } = testApp();
    await saveSunTest(store);
    const { text } = await request(app)
      .get(`/sun?city=${encodeURIComponent(city)}`)
      .expect(200);
    expect(text).toContain(day);
    expect(text).toContain(time);
    expect(text).toMatch(/id="date"[^>]*value=""/);
    expect(text).toMatch(/id="time"[^>]*value=""/);
  });

  it("from a test in the sun, plans by the clock that the test was written by", async () => {
    const { app, store } = testApp();
    const test = await saveSunTest(store, { sun: { ...lisbonNoon, timeZone: "Europe/Lisbon" } });
    const page = (await request(app).get(`/tests/${test.id}`).expect(200)).text;
    const href = /href="(\/sun\?[^"]*)"/.exec(page)?.[1]?.replaceAll("&amp;", "&") ?? "";
    expect(new URLSearchParams(href.split("?")[1]).get("timeZone")).toBe("Europe/Lisbon");
    const winter = (await request(app).get(`${href}&date=2026-12-10&time=12:30`).expect(200)).text;
    // Lisbon is at UTC in December and an hour ahead in June, when the test was made; almanac: sunset there at 17:15.
    expect(winter).toMatch(/Sunset<\/dt><dd>17:1\d/);
  });

  it("with the same hour by another clock, shows the same time", async () => {
    const { app, store } = testApp();
    await saveSunTest(store);
    const shown = async (query: string): Promise<string | undefined> =>
      /answer-time"><span aria-hidden="true">([^<]+)/.exec(
        (await request(app).get(`/sun?${query}`).expect(200)).text,
      )?.[1];
    const local = await shown("latitude=38.72&longitude=-9.13&timeZone=Europe/Lisbon&date=2026-06-14&time=15:10");
    expect(local).toMatch(/^4:/);
    expect(await shown("latitude=38.72&longitude=-9.13&timeZone=UTC&date=2026-06-14&time=14:10")).toBe(local);
  });

  it("with two anchors ticked, uses both", async () => {
    const { app, store } = testApp();
    const test = await saveSunTest(store);
    const anchor = (await request(app).post("/api/sun/anchors").send(kept).expect(201)).body;
    const { text } = await request(app)
      .get(`/sun?${junePlan}&chosen=yes&anchor=test:${test.id}&anchor=kept:${anchor.id}`)
      .expect(200);
    expect(text).toContain("Scaled by 2 anchors");
  });

  it.each([
    ["Sydney", "0", "180"],
    ["Lisbon", "180", "0"],
  ])("for a tilted frame in %s without a facing, faces the equator", async (city, equator, pole) => {
    const { app, store } = testApp();
    await saveSunTest(store);
    const time = async (facing: string): Promise<string | undefined> => {
      const query = `city=${city}&date=2026-03-21&time=12:30&tiltDegrees=40${facing}`;
      return /answer-time"><span aria-hidden="true">([^<]+)/.exec((await request(app).get(`/sun?${query}`)).text)?.[1];
    };
    const shown = await time("");
    expect(shown).toMatch(/^\d+:\d\d$/);
    expect(await time(`&facingDegrees=${equator}`)).toBe(shown);
    expect(await time(`&facingDegrees=${pole}`)).not.toBe(shown);
  });

  it("takes coordinates as they are copied for a place, with the clock of the nearest town", async () => {
    const { app, store } = testApp();
    await saveSunTest(store);
    const query = new URLSearchParams({ city: "38° 43' N, 9° 8' W", date: "2026-06-14", time: "15:10" });
    const { text } = await request(app).get(`/sun?${query}`).expect(200);
    expect(text).toMatch(/name="timeZone"[^>]*value="Europe\/Lisbon"/);
    expect(text).toMatch(/answer-time"><span aria-hidden="true">4:\d\d</);
  });

  it("offers the towns whose name begins so, and says which one is meant without a doubt", async () => {
    const { app } = testApp();
    const places = async (name: string) => (await request(app).get("/sun/places").query({ name }).expect(200)).body;
    expect((await places("lisb")).places[0]).toMatchObject({ timeZone: "Europe/Lisbon", latitude: 38.72 });
    expect((await places("lisbon")).isSure).toBe(true);
    expect((await places("spr")).isSure).toBe(false);
    expect(await places("")).toEqual({ places: [], isSure: false });
  });

  it("with two prints that contradict each other, shows no green verdict and says to untick one", async () => {
    const { app, store } = testApp();
    const right = await saveSunTest(store);
    const forgotten = await saveSunTest(store, {}, 240 * 8);
    const anchors = `anchor=test:${right.id}&anchor=test:${forgotten.id}`;
    const { text } = await request(app).get(`/sun?${junePlan}&${anchors}`).expect(200);
    expect(text).toContain("untick the one that you trust less");
    expect(text).toContain("A time with a doubt");
    expect(text).not.toMatch(/notice ok/);
  });

  it("under passing clouds, names the sky beside the time", async () => {
    const { app, store } = testApp();
    await saveSunTest(store);
    const { text } = await request(app).get(`/sun?${junePlan}&sky=passing-cloud`).expect(200);
    expect(text).toContain("passing clouds make it longer");
    expect(text).not.toContain("while the sky is clear");
  });

  it.each([
    ["city=Nowhereville", "No town on the list is called “Nowhereville”"],
    ["city=Spr", "Several places may be meant"],
    ["latitude=abc&longitude=0", "Write the latitude in degrees"],
    ["latitude=95&longitude=0", "latitudes go from -90"],
    ["latitude=10&longitude=10&timeZone=Nowhere", "is not a time zone"],
    ["latitude=10&longitude=10&timeZone=UTC&date=2026-02-30&time=10:00", "is not a date and time"],
    ["city=Lisbon&anchor=test:nowhere", "There is no test"],
  ])("for %s, asks again and says why", async (query, words) => {
    const { app } = testApp();
    const { text } = await request(app).get(`/sun?${query}`).expect(400);
    expect(text.toLowerCase()).toContain(words.toLowerCase());
    expect(text).toContain("data-sun-form");
  });

  it("offers the dose clock for today only", async () => {
    const { app, store } = testApp();
    await saveSunTest(store);
    expect((await request(app).get(`/sun?${junePlan}`).expect(200)).text).not.toContain("/sun/frames?");
    vi.useFakeTimers({ toFake: ["Date"], now: Date.parse("2026-06-14T14:00:00+01:00") });
    expect((await request(app).get(`/sun?${junePlan}`).expect(200)).text).toContain("/sun/frames?");
  });
});

describe("GET /sun/frames", () => {
  it("with a plan, offers to put the frame out with all that the plan says", async () => {
    const { app, store } = testApp();
    await saveSunTest(store);
    const { text } = await request(app).get(`/sun/frames?${junePlan}`).expect(200);
    expect(text).toContain("If it goes out on 14 June 2026 at 15:10");
    expect(text).toMatch(/name="latitude" value="38.72"/);
    expect(text).toContain("The frame is out: start");
  });

  it("when the sun is down, offers none and says why", async () => {
    const { app, store } = testApp();
    await saveSunTest(store);
    const { text } = await request(app).get("/sun/frames?city=Lisbon&date=2026-06-14&time=02:00").expect(200);
    expect(text).not.toContain("The frame is out: start");
    expect(text).toContain("The sun is down at that time.");
  });

  it("by the clock's old address, leads on", async () => {
    const { app } = testApp();
    const { headers } = await request(app).get("/sun/clock?city=Lisbon").expect(301);
    expect(headers["location"]).toBe("/sun/frames?city=Lisbon");
  });
});

describe("a kept anchor", () => {
  it("is listed on the sun page and deleted there", async () => {
    const { app, store } = testApp();
    const { id } = (await request(app).post("/api/sun/anchors").send(kept).expect(201)).body;
    expect((await request(app).get("/sun").expect(200)).text).toContain(`/sun/anchors/${id}/delete`);
    await request(app).post(`/sun/anchors/${id}/delete`).expect(303);
    expect(store.sunAnchors.list()).toEqual([]);
  });
});

describe("the test form's sun fields", () => {
  it("without script, take a city and a local start", async () => {
    const { sunConditionsFrom, sunConditionValues } = await import("#src/web/parts/sun-conditions-form.ts");
    const errors = {};
    const sun = sunConditionsFrom({ sunCity: "Denver", sunStartedAt: "2026-07-01T12:30", sunSky: "clear" }, errors);
    expect(errors).toEqual({});
    expect(sun).toMatchObject({
      latitude: 39.74,
      startedAt: "2026-07-01T12:30:00-06:00",
      tiltDegrees: 0,
      facingDegrees: 180,
    });
    const winter = sunConditionsFrom(
      { sunLatitude: "39.7", sunLongitude: "-105", sunTimeZone: "America/Denver", sunStartedAt: "2026-12-01T12:30" },
      errors,
    );
    expect(winter).toMatchObject({ startedAt: "2026-12-01T12:30:00-07:00" });
    // Shown again for changing, they stand for the same instant whatever the season.
    const again = sunConditionValues({
      latitude: 39.7,
      longitude: -105,
      startedAt: "2026-12-01T12:30:00-07:00",
      tiltDegrees: 10,
      facingDegrees: 90,
      sky: "open-shade",
    });
    expect(sunConditionsFrom(again, errors)).toMatchObject({
      startedAt: "2026-12-01T12:30:00-07:00",
      tiltDegrees: 10,
      facingDegrees: 90,
      sky: "open-shade",
    });
  });

  it("take what stands round the frame, in both halves of the earth, and show it again", async () => {
    const { sunConditionsFrom, sunConditionValues } = await import("#src/web/parts/sun-conditions-form.ts");
    for (const [sunCity, sunHorizon180] of [
      ["Sydney", "0"],
      ["Lisbon", "25,5"],
    ] as const) {
      const errors = {};
      const typed = { sunCity, sunStartedAt: "2026-03-01T12:30", sunHorizon0: "40", sunHorizon180 };
      const sun = sunConditionsFrom(typed, errors) as SunConditions;
      expect(errors).toEqual({});
      const heights = [40, 0, 0, 0, 0, 0, Number(sunHorizon180.replace(",", ".")), 0, 0, 0, 0, 0];
      expect(sun.horizonDegrees).toEqual(heights);
      expect(sunConditionsFrom(sunConditionValues(sun), errors)).toMatchObject({ horizonDegrees: heights });
    }
  });

  it("take coordinates in degrees and minutes", async () => {
    const { sunConditionsFrom } = await import("#src/web/parts/sun-conditions-form.ts");
    const place = { sunLatitude: "33° 52' S", sunLongitude: "151° 12' E", sunTimeZone: "Australia/Sydney" };
    expect(sunConditionsFrom({ ...place, sunStartedAt: "2026-03-01T12:30" }, {})).toMatchObject({
      latitude: -(33 + 52 / 60),
      longitude: 151.2,
      facingDegrees: 0,
    });
  });

  it("with a start alone, take the place of the light's last test", async () => {
    const { app, store } = testApp();
    const horizonDegrees = [0, 0, 0, 0, 0, 0, 20, 0, 0, 0, 0, 0];
    const { lampId } = (
      await saveSunTest(store, {
        sun: { ...lisbonNoon, timeZone: "Europe/Lisbon", elevationM: 90, sky: "thin-cloud", horizonDegrees },
      })
    ).request;
    const { text } = await request(app).get("/tests/new").expect(200);
    expect(text).toContain("38.72, -9.14, Europe/Lisbon, 90 m");
    const { withPlaceOfLight } = await import("#src/web/parts/place-of-light.ts");
    const { sunConditionsFrom } = await import("#src/web/parts/sun-conditions-form.ts");
    // The zone that a phone in Auckland fills in by itself is not the place's.
    const typed = { lampId, sunStartedAt: "2026-12-01T12:30", sunTimeZone: "Pacific/Auckland", sunHorizon0: "10" };
    expect(sunConditionsFrom(withPlaceOfLight(store, typed), {})).toEqual({
      latitude: 38.72,
      longitude: -9.14,
      startedAt: "2026-12-01T12:30:00+00:00",
      timeZone: "Europe/Lisbon",
      tiltDegrees: 0,
      facingDegrees: 0,
      elevationM: 90,
      sky: undefined,
      ground: undefined,
      glass: undefined,
      haze: undefined,
      horizonDegrees: [10, ...horizonDegrees.slice(1)],
    });
    expect(withPlaceOfLight(store, { ...typed, lampId: "another" })).toEqual({ ...typed, lampId: "another" });
    expect(withPlaceOfLight(store, { lampId })).toEqual({ lampId });
  });

  it("with a place but no start, say what is missing", async () => {
    const { sunConditionsFrom } = await import("#src/web/parts/sun-conditions-form.ts");
    const errors: Record<string, string> = {};
    expect(sunConditionsFrom({ sunLatitude: "39.7", sunLongitude: "-105" }, errors)).toBeUndefined();
    expect(errors["sun"]).toContain("start");
  });
});
