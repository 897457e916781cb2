import request from "supertest";
import { describe, expect, it } from "vitest";
import { addMaterial } from "#src/studio/materials/keep-material.ts";
import { makeFirstTestSheet } from "#src/studio/paper-records.ts";
import { firstTestSheetOf, firstTestView } from "#src/web/first-test/view.ts";
import { testApp } from "../../support/test-app.ts";

describe("before the first test", () => {
  it("says how long, what it finds, and that this is a guess", async () => {
    const { text } = await request(testApp().app).get("/first-test?light=tubes&tabletChoice=even-21").expect(200);
    expect(text).toMatch(/answer-time[^>]*">\d+ min</);
    expect(text).toMatch(/finds print times from <strong>\d+:\d\d<\/strong> to <strong>\d+:\d\d<\/strong>/);
    expect(text).toContain("common practice, from memory, without a source");
    expect(text).toMatch(/href="\/tests\/new\?tabletChoice=even-21&(?:amp|#38);exposureMinutes=\d+/);
  });

  it("for a strip, says the waits too", async () => {
    const { text } = await request(testApp().app).get("/first-test?light=led&tabletChoice=timed").expect(200);
    expect(text).toMatch(/these waits: <strong>[\d.]+ s, [\d.]+ s, \d+:\d\d/);
    expect(text).toMatch(/timedSeries=\d+-\d+-1/);
  });

  it("knows the studio's own lights, and their distance", async () => {
    const { app, store } = testApp();
    const near = addMaterial({ store }, "lamps", { name: "Near", kind: "point", distanceMm: 400 });
    const far = addMaterial({ store }, "lamps", { name: "Far", kind: "point", distanceMm: 1200 });
    const minutes = async (id: string): Promise<number> => {
      const { text } = await request(app).get(`/first-test?light=${id}&tabletChoice=even-21`).expect(200);
      const [, hours = "0", rest = "0"] = /answer-time[^>]*">(?:(\d+) h ?)?(?:(\d+) min)?</.exec(text) ?? [];
      return 60 * Number(hours) + Number(rest);
    };
    expect(await minutes(near.id)).toBe(50);
    // Nine times as long is more than four hours, the longest that is offered.
    expect(await minutes(far.id)).toBe(240);
  });

  it("when a field cannot be right, shows it again with a link to it", async () => {
    const { text } = await request(testApp().app).get("/first-test?light=tubes&distanceMm=-3").expect(400);
    expect(text).toContain('href="#first-distance"');
    expect(text).toContain('aria-invalid="true"');
  });

  it("when the sun stays too low, gives no time and says why, and nothing to print", () => {
    const { store } = testApp();
    const sun = { light: "sun", latitude: "70" };
    const [june, december] = [Date.UTC(2026, 5, 21), Date.UTC(2026, 11, 21)];
    const winter = firstTestView(store, sun, december);
    expect(winter.answer).toBeNull();
    expect(winter.sun).toContain("too low to print by");
    expect(firstTestSheetOf(store, sun, december)).toBeNull();
    expect(firstTestView(store, sun, june).answer?.time).toMatch(/min/);
  });

  it("prints the same time and list as a page of paper", async () => {
    const { app, store } = testApp();
    await request(app).get("/first-test.pdf?light=tubes").expect(200).expect("content-type", /pdf/);
    const sheet = firstTestSheetOf(store, { light: "tubes" }, Date.UTC(2026, 5, 21));
    const page = firstTestView(store, { light: "tubes" }, Date.UTC(2026, 5, 21));
    expect(sheet?.time).toBe(page.answer?.time);
    if (sheet === null) throw new Error("no sheet");
    expect(sheet.checklist).toEqual(page.checklist);
    expect(
      Buffer.from(await makeFirstTestSheet(sheet))
        .subarray(0, 5)
        .toString(),
    ).toBe("%PDF-");
  });
});
