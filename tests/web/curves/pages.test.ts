// Printers and kept curves as pages without script, and what the negative's form takes from them.
import request from "supertest";
import { describe, expect, it } from "vitest";
import { saveLevelsTest } from "../../support/studios/levels-test.ts";
import { testApp } from "../../support/test-app.ts";

describe("printers", () => {
  it("are kept by their form, and the negative's form begins with their dots per inch and ink", async () => {
    const { app, store } = testApp();
    const { id } = await saveLevelsTest(store);
    const filmId = store.tests.get(id).request.filmId ?? "";
    const form = { name: "Wide one", mediaSetting: "film, best", dpi: "720", inks: "eight", ink: "00c000" };
    await request(app)
      .post("/printers")
      .type("form")
      .send({ ...form, filmIds: filmId })
      .expect(303);
    const [printer] = store.printers.list();
    expect(printer).toMatchObject({ dpi: 720, ink: { red: 0, green: 192, blue: 0 } });
    const list = await request(app).get("/printers").expect(200);
    expect(list.text).toContain("film, best");
    expect(list.text).toContain("/sheets?ink=00c000&amp;dpi=720");
    const { text } = await request(app).get(`/negatives/new?testId=${id}`).expect(200);
    expect(text).toMatch(/name="dpi" value="720"|value="720"[^>]*name="dpi"|name="dpi"[^>]*value="720"/);
    expect(text).toMatch(/name="ink"[^>]*value="00c000"/);
    const shown = await request(app).get(`/printers/${printer?.id}`).expect(200);
    expect(shown.text).toContain("Change Wide one");
    await request(app)
      .post("/printers")
      .type("form")
      .send({ ...form, ink: "green" })
      .expect(400);
    await request(app).post(`/printers/${printer?.id}/delete`).expect(303);
    expect(store.printers.list()).toEqual([]);
  });
});

describe("kept curves", () => {
  it("are drawn as they would be kept, kept, listed, chosen for a negative, and forgotten", async () => {
    const { app, store } = testApp();
    const { id } = await saveLevelsTest(store);
    const drawn = await request(app).get(`/curves/new?testId=${id}&level3=128&by3=10`).expect(200);
    expect(drawn.text).toMatch(/At most <strong>L\* [1-9]/);
    const form = { testId: id, target: "lightness", name: "Before the new ink", level3: "128", by3: "10" };
    await request(app).post("/curves").type("form").send(form).expect(303);
    const [kept] = store.keptCurves.list();
    const { text } = await request(app).get("/curves").expect(200);
    expect(text).toContain("Before the new ink");
    expect(text).toContain("one point moved by hand");
    const chosen = await request(app).get(`/negatives/new?testId=${id}&curveId=${kept?.id}`).expect(200);
    expect(chosen.text).toContain("Version of its curve");
    // The page's small pictures go through the version that is chosen.
    const own = (await request(app).get(`/negatives/curves/${id}?target=lightness`).expect(200)).body;
    const version = (await request(app).get(`/negatives/curves/${id}?target=lightness&curveId=${kept?.id}`)).body;
    expect(version.levels[128]).toBeCloseTo(kept!.levels[128]!, 1);
    expect(Math.abs(version.levels[128] - own.levels[128])).toBeGreaterThan(5);
    expect(own.versions.map(({ value }: { value: string }) => value)).toEqual(["", kept?.id]);
    const sheet = (await request(app).get(`/sheets?curveId=${kept?.id}`).expect(200)).text;
    expect(sheet).toContain(`curveId=${kept?.id}`);
    expect(sheet).toContain("Printed through the correction of “Before the new ink");
    await request(app).get(`/curves/new?testId=${id}&level1=900&by1=5`).expect(400);
    await request(app).post(`/curves/${kept?.id}/delete`).expect(303);
    expect(store.keptCurves.list()).toEqual([]);
  });
});
