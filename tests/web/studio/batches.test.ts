import request from "supertest";
import { beforeEach, describe, expect, it } from "vitest";
import { lookupStudio, type LookupStudio } from "../../support/studios/lookup-studio.ts";

let studio: LookupStudio;
let page: string;

async function addBatch(fields: Record<string, string>): Promise<string> {
  await request(studio.app).post(`${page}/batches`).type("form").send(fields).expect(303);
  const { batches } = (await request(studio.app).get(`/api/coatings/${studio.ids["blue"]}`)).body;
  return batches.find((each: { madeOn: string }) => each.madeOn === fields["batchMadeOn"]).id;
}

async function lookUp(query: Record<string, string> = {}) {
  const { app, ids } = studio;
  const answer = await request(app)
    .get("/api/exposures")
    .query({ lampId: ids["lamp"], supportId: ids["paper"], coatingId: ids["blue"], ...query });
  return answer.body;
}

beforeEach(async () => {
  studio = await lookupStudio();
  page = `/studio/coatings/${studio.ids["blue"]}`;
});

describe("batches on a coating's page", () => {
  it("are noted, listed newest first, used up and counted with their tests, without script", async () => {
    const id = await addBatch({ batchMadeOn: "2026-05-03", batchLot: "7", batchBy: "Ana", batchKeepsDays: "5" });
    await addBatch({ batchMadeOn: "2026-05-20", batchLot: "8" });
    await studio.saveTest({ batchId: id });
    const text = (await request(studio.app).get(page).expect(200)).text;
    expect(text.indexOf("20 May 2026")).toBeLessThan(text.indexOf("3 May 2026"));
    expect(text).toContain("lot 7 · by Ana");
    expect(text).toContain("1 test ");
    expect(text).toContain("past its keeping");
    await request(studio.app).post(`${page}/batches/${id}`).type("form").send({ usedUp: "yes" }).expect(303);
    expect((await request(studio.app).get(page)).text).toContain("used up");
  });

  it("when the day is missing, is asked for again with what was typed", async () => {
    const answer = await request(studio.app)
      .post(`${page}/batches`)
      .type("form")
      .send({ batchMadeOn: "", batchLot: "lot nine" })
      .expect(400);
    expect(answer.text).toContain('href="#new-batch-day"');
    expect(answer.text).toContain("lot nine");
  });
});

describe("a batch past its keeping", () => {
  it("is told on the coating's page, with a time and on a new test's form, until a fresh one is mixed", async () => {
    const { app, ids } = studio;
    await addBatch({ batchMadeOn: "2025-05-03", batchLot: "7", batchKeepsDays: "5" });
    await studio.saveTest({});
    const told = "was to keep until 8 May 2025";
    const query = { lampId: ids["lamp"]!, supportId: ids["paper"]!, coatingId: ids["blue"]! };
    const pages = async (): Promise<string[]> => [
      (await request(app).get(page).expect(200)).text,
      (await request(app).get("/exposures").query(query).expect(200)).text,
      (await request(app).get("/tests/new").query(query).expect(200)).text,
    ];
    for (const text of await pages()) expect(text).toContain(told);
    expect((await pages())[2]).toContain("lot 7, past its keeping");
    expect((await lookUp()).warnings.map(({ code }: { code: string }) => code)).toContain("batch-expired");
    await addBatch({ batchMadeOn: new Date().toISOString().slice(0, 10), batchLot: "8", batchKeepsDays: "5" });
    for (const text of await pages()) expect(text).not.toContain(told);
    expect((await lookUp()).warnings.map(({ code }: { code: string }) => code)).not.toContain("batch-expired");
  });
});

describe("a batch in tests, prints and times", () => {
  it("is offered by both forms, the newest first", async () => {
    await addBatch({ batchMadeOn: "2026-05-03", batchLot: "7" });
    for (const form of ["/tests/new", "/prints/new"]) {
      const { text } = await request(studio.app).get(form).expect(200);
      expect(text).toContain("The newest of this coating");
      expect(text).toContain("Blue: mixed 3 May 2026, lot 7");
    }
  });

  it("when a test names one that its coating does not have, is refused by that field", async () => {
    const answer = await request(studio.app).post("/api/prints").send({
      lampId: studio.ids["lamp"],
      supportId: studio.ids["paper"],
      coatingId: studio.ids["blue"],
      batchId: "nope",
      exposureSeconds: 300,
    });
    expect(answer.status).toBe(400);
    expect(answer.body.field).toBe("batchId");
  });

  it("when the time is for another batch than was tested, the range is wider, and the answer says so", async () => {
    const tested = await addBatch({ batchMadeOn: "2026-05-03", batchLot: "7" });
    await studio.saveTest({ batchId: tested, filmId: null });
    const before = await lookUp();
    await addBatch({ batchMadeOn: "2026-05-20", batchLot: "8" });
    const [fresh, old] = [await lookUp(), await lookUp({ batchId: tested })];
    const width = ({ lowerSeconds, upperSeconds }: { lowerSeconds: number; upperSeconds: number }): number =>
      Math.log10(upperSeconds / lowerSeconds);
    expect(width(old)).toBeCloseTo(width(before), 3);
    expect(width(fresh)).toBeGreaterThan(width(old));
    expect(fresh.provenance.join(" ")).toContain("20 May 2026 (lot 8): no test was coated with it");
    expect(old.provenance.join(" ")).toContain("one test was coated with it");
    expect((await lookUp({ batchId: "nope" })).field).toBe("batchId");
  });

  it("can be chosen on the lookup page, and one of another coating is asked for again", async () => {
    const { app, ids } = studio;
    const of = { lampId: ids["lamp"], supportId: ids["paper"], coatingId: ids["blue"] };
    const page = async (query: Record<string, string>) =>
      request(app)
        .get("/exposures")
        .set("Accept", "text/html")
        .query({ ...of, ...query });
    expect((await page({})).text).not.toContain("Batch of the coating");
    const tested = await addBatch({ batchMadeOn: "2026-05-03", batchLot: "7" });
    await studio.saveTest({ batchId: tested, filmId: null });
    await addBatch({ batchMadeOn: "2026-05-20", batchLot: "8" });
    const newest = (await page({})).text;
    expect(newest).toContain("Batch of the coating");
    expect(newest).toContain("20 May 2026 (lot 8): no test was coated with it");
    // As the form sends it, and as an address names it.
    for (const batchId of [`${ids["blue"]} ${tested}`, tested]) {
      const { text } = await page({ batchId });
      expect(text).toContain("one test was coated with it");
      expect(text).toContain(`value="${ids["blue"]} ${tested}" selected`);
    }
    const other = await page({ batchId: "elsewhere nope" });
    expect(other.status).toBe(400);
    expect(other.text).toContain('href="#lookup-batchId"');
    expect(other.text).not.toContain("answer-time");
  });

  it("when tests taken together were washed differently, says so", async () => {
    await studio.saveTest({ filmId: null, wash: "acid", humidityPercent: 40 });
    await studio.saveTest({ filmId: null, wash: "plain", humidityPercent: 70, seed: 2 });
    const { warnings } = await lookUp();
    const found = warnings.find(({ code }: { code: string }) => code === "conditions-differ");
    expect(found.message).toContain("some were washed with acid");
    expect(found.message).toContain("40 to 70 % humidity");
  });
});
