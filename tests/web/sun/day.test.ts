import request from "supertest";
import { describe, expect, it } from "vitest";
import { saveSunTest } from "../../support/studios/sun-tests.ts";
import { testApp } from "../../support/test-app.ts";

const plan = "city=Lisbon&date=2026-06-14&time=10%3A00";

describe("GET /sun/day", () => {
  it("lays a queue over the day: by one frame one after the other, each with its own dose", async () => {
    const { app, store } = testApp();
    const paper = await saveSunTest(store);
    const cloth = await saveSunTest(store, { name: "Cotton" }, 480);
    const query = `${plan}&negative=Fern&scaledBy=test:${paper.id}&negative=Lace&scaledBy=test:${cloth.id}`;
    const { text } = await request(app).get(`/sun/day?${query}`).expect(200);
    const cells = [...text.matchAll(/<td class="number"><strong>(\d\d:\d\d)<\/strong>/g)].map(([, time]) => time);
    // Loaded in 3 minutes; the second is loaded when the first is in and emptied (2 minutes).
    expect(cells[0]).toBe("10:03");
    expect(cells).toHaveLength(4);
    const minutes = (time: string | undefined): number => Number(time?.slice(0, 2)) * 60 + Number(time?.slice(3));
    expect(minutes(cells[2]) - minutes(cells[1])).toBeGreaterThanOrEqual(5);
    // Twice the dose takes about twice as long in a rising sun.
    const [first, second] = [minutes(cells[1]) - minutes(cells[0]), minutes(cells[3]) - minutes(cells[2])];
    expect(second / first).toBeGreaterThan(1.6);
    expect(second / first).toBeLessThan(2.3);
    expect(text).toContain("/sun/day/calendar.ics?");
  });

  it("near the evening, says which does not fit before the sun sinks", async () => {
    const { app, store } = testApp();
    const paper = await saveSunTest(store);
    const long = await saveSunTest(store, { name: "Linen" }, 7200);
    const query =
      `city=Lisbon&date=2026-06-14&time=18:30&negative=Fern&scaledBy=test:${paper.id}` +
      `&negative=Oak&scaledBy=test:${long.id}`;
    const { text } = await request(app).get(`/sun/day?${query}`).expect(200);
    expect(text).toMatch(/Oak\.<\/strong> does not fit any more before the sun sinks/);
    expect(text).toContain(">Fern</th>");
  });

  it("gives a calendar that calls out and in, and a page to pin to the wall", async () => {
    const { app, store } = testApp();
    const paper = await saveSunTest(store);
    const query = `${plan}&negative=Fern&scaledBy=test:${paper.id}`;
    const calendar = await request(app).get(`/sun/day/calendar.ics?${query}`).buffer(true).expect(200);
    expect(calendar.text.match(/BEGIN:VALARM/g)).toHaveLength(2);
    expect(calendar.text).toContain("DTSTART:20260614T090300Z");
    const paperPage = await request(app).get(`/sun/day/plan.pdf?${query}`).buffer(true).expect(200);
    expect(paperPage.type).toBe("application/pdf");
    expect(paperPage.body.subarray(0, 5).toString()).toBe("%PDF-");
  });

  it("without negatives shows the form; with frames that are no number says so", async () => {
    const { app, store } = testApp();
    const paper = await saveSunTest(store);
    const { text } = await request(app).get(`/sun/day?${plan}`).expect(200);
    expect(text).toContain('id="negative-3"');
    const wrong = await request(app)
      .get(`/sun/day?${plan}&negative=Fern&scaledBy=test:${paper.id}&frames=0`)
      .expect(400);
    expect(wrong.text).toContain("At least one frame");
  });
});
