// Labels: by the page that asks for them and the PDF that comes, read again by an independent reader.
import request from "supertest";
import { describe, expect, it } from "vitest";
import { addStock } from "#src/studio/materials/keep-stock.ts";
import { fakeImaging } from "../../support/fake-imaging.ts";
import { hasPoppler, pdfFacts } from "../../support/pictures/pdf-facts.ts";
import { labelsRequestSchema } from "#shared/schema/stocks.ts";
import { printRequestSchema } from "#shared/schema/prints.ts";
import { beginPrint } from "#src/studio/keep-print.ts";
import { makeLabels } from "#src/studio/materials/make-labels.ts";
import { saveSampleMaterials, saveSampleTest } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

function shelf() {
  const { app, store } = testApp({ imaging: fakeImaging() });
  const materials = saveSampleMaterials(store);
  const stock = addStock({ store }, { name: "Iron citrate 20 %", madeOn: "2026-05-01", grade: "pure", lot: "A7" });
  return { app, materials, stock };
}

describe("labels", () => {
  it("the page offers what stands on the shelf", async () => {
    const { app, stock } = shelf();
    const { text } = await request(app).get(`/studio/labels?stocks=${stock.id}`).expect(200);
    expect(text).toContain("Iron citrate 20 %, 1 May 2026");
    expect(text).toMatch(new RegExp(`value="${stock.id}" checked`));
  });

  it.skipIf(!hasPoppler)(
    "are printed with content, day and hazard, as often as asked, past the places skipped",
    async () => {
      const { app, stock, materials } = shelf();
      const { body } = await request(app)
        .get("/studio/labels.pdf")
        .query({
          stocks: stock.id,
          coatings: materials.coatingId,
          others: "Last wash\n\nVinegar bath",
          hazards: "keep from\nchildren",
          copies: 2,
          columns: 2,
          rows: 3,
          skip: 5,
        })
        .buffer(true)
        .parse((response, done) => {
          const chunks: Buffer[] = [];
          response.on("data", (chunk: Buffer) => chunks.push(chunk));
          response.on("end", () => done(null, Buffer.concat(chunks)));
        })
        .expect(200)
        .expect("content-type", /pdf/);
      const { text, info } = pdfFacts(body as Buffer);
      for (const said of [
        "made on 1 May 2026",
        "grade pure, lot A7",
        "keep from · children",
        "Last wash",
        "Vinegar bath",
      ])
        expect(text.match(new RegExp(said, "g"))?.length, said).toBeGreaterThanOrEqual(2);
      // Eight labels on sheets of six places, the first five of which are used up: 1 + 6 + 1.
      expect(info).toMatch(/Pages:\s+3\n/);
      expect(info).toContain("(A4)");
    },
  );

  it.skipIf(!hasPoppler)(
    "of a print and of a test's strip tell what they are, and leave lines for the pen",
    async () => {
      const { app, store } = testApp({ imaging: fakeImaging() });
      const test = await saveSampleTest(store);
      const { lampId, supportId, coatingId } = test.request;
      const print = beginPrint(
        { store },
        printRequestSchema.parse({ name: "Fern", lampId, supportId, coatingId, exposureSeconds: 600 }),
      );
      const page = (await request(app).get("/studio/labels").expect(200)).text;
      expect(page).toContain("Strips of tests, newest first");
      const { text } = pdfFacts(
        await makeLabels({ store }, labelsRequestSchema.parse({ prints: print.id, tests: test.id })),
      );
      for (const said of ["Fern", "10:00", "signed", "Test of", "Box, 8:00", "washed ____ times", "in light since"])
        expect(text).toContain(said);
    },
  );

  it("with nothing chosen, a wrong number or an unknown bottle, say so in words and keep what was typed", async () => {
    const { app, stock } = shelf();
    const empty = await request(app).get("/studio/labels.pdf").set("Accept", "text/html").expect(400);
    expect(empty.text).toContain("hoose at least one bottle");
    const wrong = await request(app)
      .get("/studio/labels.pdf")
      .query({ stocks: stock.id, rows: "many" })
      .set("Accept", "text/html")
      .expect(400);
    expect(wrong.text).toContain("a whole number from 1 to 20");
    expect(wrong.text).toMatch(new RegExp(`value="${stock.id}" checked`));
    await request(app).get("/studio/labels.pdf?stocks=nope").expect(404);
  });
});
