import request from "supertest";
import { describe, expect, it } from "vitest";
import { saveSunTest } from "../../support/studios/sun-tests.ts";
import { testApp } from "../../support/test-app.ts";

describe("GET /sun/year", () => {
  it("shows the exposure by month and hour as a picture and as a table", async () => {
    const { app, store } = testApp();
    await saveSunTest(store);
    const { text } = await request(app).get("/sun/year?city=Lisbon&date=2026-06-10&time=13:30").expect(200);
    expect(text).toContain("<title>Jun, 13:00: 4:0");
    // Noon in December wants more than twice as long.
    const december = Number(/<title>Dec, 12:00: (\d+):/.exec(text)?.[1]);
    expect(december).toBeGreaterThan(8);
    expect(text).toContain('<th scope="row">12:00</th>');
    expect(text).toContain("month (its 15th day)");
  });

  it("without a place, says what it needs", async () => {
    const { app } = testApp();
    expect((await request(app).get("/sun/year").expect(200)).text).toContain("needs a place");
  });
});
