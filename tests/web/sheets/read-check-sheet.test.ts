import request from "supertest";
import { describe, expect, it } from "vitest";
import { saveLevelsTest } from "../../support/studios/levels-test.ts";
import { testApp } from "../../support/test-app.ts";

const { app, store } = testApp();
const { id, materials } = await saveLevelsTest(store);

describe("the page of a check sheet", () => {
  it("leads to a new test with the materials and the time of the test that it is printed through", async () => {
    const { text } = await request(app).get(`/sheets?testId=${id}`).expect(200);
    const href = /href="(\/tests\/new\?tabletChoice=sheet&amp;[^"]*)"/.exec(text)?.[1]?.replaceAll("&amp;", "&") ?? "";
    const query = new URL(href, "http://127.0.0.1").searchParams;
    expect(Object.fromEntries(query)).toMatchObject({
      lampId: materials.lampId,
      supportId: materials.supportId,
      coatingId: materials.coatingId,
    });
    expect(query.get("name")).toBe("Check of Strip on cotton, box 2");
    const form = await request(app).get(href).expect(200);
    expect(form.text).toMatch(new RegExp(`value="${materials.coatingId}"[^>]*selected`));
  });

  it("of a first sheet, names no materials", async () => {
    const { text } = await request(app).get("/sheets").expect(200);
    expect(text).toContain('href="/tests/new?tabletChoice=sheet"');
  });
});
