// Queue, boxes side by side, log and tables, who printed what: as pages without script.
import request from "supertest";
import { describe, expect, it } from "vitest";
import { lookupStudio } from "../../support/studios/lookup-studio.ts";
import { saveSampleMaterials, saveSampleTest } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

describe("the queue's page", () => {
  it("takes people in, moves them, and shows the next one large", async () => {
    const { app, store } = testApp();
    const { lampId } = saveSampleMaterials(store);
    const join = (who: string) =>
      request(app).post("/queue").type("form").send({ who, lampId, what: "apron", of: lampId }).expect(303);
    expect((await join("Ada")).headers["location"]).toBe(`/queue?lampId=${lampId}`);
    await join("Ben <b>");
    const page = (await request(app).get(`/queue?lampId=${lampId}`).expect(200)).text;
    expect(page).toContain("Next: Ada");
    expect(page).toContain("Ben &lt;b&gt;");
    expect(page).toContain('data-live="queue"');
    const [ada, ben] = store.queue.list({ state: "waiting" });
    await request(app).post(`/queue/${ben!.id}/up`).type("form").send({}).expect(303);
    expect((await request(app).get("/queue/next").expect(200)).text).toContain("Ben &lt;b&gt;</strong>");
    const done = await request(app).post(`/queue/${ben!.id}/done`).type("form").send({ of: lampId, large: "yes" });
    expect(done.headers["location"]).toBe(`/queue/next?lampId=${lampId}`);
    expect((await request(app).get("/queue/next")).text).toContain("Ada</strong>");
    await request(app).post(`/queue/${ada!.id}/leave`).type("form").send({}).expect(303);
    expect((await request(app).get("/queue/next")).text).toContain("Nobody waits");
    await request(app).post(`/queue/${ben!.id}/waiting`).type("form").send({}).expect(303);
    expect(store.queue.list({ state: "waiting" })).toMatchObject([{ who: "Ben <b>" }]);
  });

  it("asks for a name and keeps what was typed; an unknown press changes nothing", async () => {
    const { app, store } = testApp();
    const page = await request(app).post("/queue").type("form").send({ who: "", what: "apron" }).expect(400);
    expect(page.text).toContain("Say who is waiting");
    expect(page.text).toContain('value="apron"');
    await request(app).post("/queue").type("form").send({ who: "Ada" }).expect(303);
    const [{ id } = { id: "" }] = store.queue.list({ state: "waiting" });
    await request(app).post(`/queue/${id}/dance`).type("form").send({}).expect(400);
    expect(store.queue.get(id)).toMatchObject({ state: "waiting" });
  });
});

describe("boxes side by side", () => {
  it("shows times and factors of what was tested last, and can be held against another box", async () => {
    const { app, ids, saveTest } = await lookupStudio();
    expect((await request(app).get("/boxes").expect(200)).text).toContain("Choose a paper and a coating");
    await saveTest({ middle: 2 });
    await saveTest({ middle: 2.3, lampId: ids["other"] });
    const first = (await request(app).get("/boxes").expect(200)).text;
    expect(first).toContain("Against Box");
    expect(first).toMatch(/(1\.9\d|2\.0\d)×/);
    const turned = await request(app)
      .get("/boxes")
      .query({ supportId: ids["paper"], coatingId: ids["blue"], referenceLampId: ids["other"] })
      .expect(200);
    expect(turned.text).toContain("Against Old box");
    expect(turned.text).toMatch(/0\.(49|5\d)×/);
    await request(app).get("/boxes").query({ supportId: "gone", coatingId: "gone" }).expect(200);
  });
});

describe("log and tables", () => {
  it("shows a year, its files, and keeps the studio's name", async () => {
    const { app, store } = testApp();
    expect((await request(app).get("/records").expect(200)).text).toContain("Nothing was made in this year");
    await saveSampleTest(store);
    const year = new Date().getUTCFullYear();
    const page = (await request(app).get("/records").expect(200)).text;
    expect(page).toContain(`Log of ${year}`);
    expect(page).toContain("Good test");
    await request(app).post("/records/studio").type("form").send({ name: "Studio North" }).expect(303);
    expect((await request(app).get("/records")).text).toContain('value="Studio North"');
    const pdf = await request(app).get("/api/log.pdf").query({ year }).expect(200);
    expect(pdf.headers["content-disposition"]).toContain(`Studio-North-log-${year}.pdf`);
    expect((await request(app).get("/studio/sharing")).text).toContain('value="Studio North"');
    await request(app)
      .post("/records/studio")
      .type("form")
      .send({ name: "x".repeat(81) })
      .expect(400);
  });
});

describe("who printed what", () => {
  it("stands on the run sheet and in the log, which can be narrowed to one", async () => {
    const { app, store } = testApp();
    const { lampId, supportId, coatingId } = saveSampleMaterials(store);
    for (const [name, printedBy] of [
      ["Fern", "Ada"],
      ["Moss", "Ben"],
    ])
      await request(app)
        .post("/prints/new")
        .type("form")
        .send({ name, printedBy, lampId, supportId, coatingId, minutes: "8" })
        .expect(303);
    const all = (await request(app).get("/prints").expect(200)).text;
    expect(all).toContain("Fern");
    expect(all).toContain('href="/prints?by=Ben"');
    const [fern] = store.prints.list({ printedBy: "Ada" }).prints;
    expect(fern?.name).toBe("Fern");
    const ofBen = (await request(app).get("/prints?by=Ben").expect(200)).text;
    expect(ofBen).toContain("Moss");
    expect(ofBen).not.toContain("Fern");
    expect((await request(app).get(`/prints/${fern?.id}`)).text).toContain("printed by");
    const { body } = await request(app).get("/api/prints").query({ printedBy: "Ben" }).expect(200);
    expect((body as { prints: { name: string }[] }).prints.map(({ name }) => name)).toEqual(["Moss"]);
  });
});
