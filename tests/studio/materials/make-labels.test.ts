// Labels of what stands on the shelf: what the sheet says is read again by an independent reader.
import { describe, expect, it } from "vitest";
import { labelsRequestSchema } from "#shared/schema/stocks.ts";
import { labelsPdf } from "#src/output/label-sheet.ts";
import { makeLabels } from "#src/studio/materials/make-labels.ts";
import { hasPoppler, pdfFacts } from "../../support/pictures/pdf-facts.ts";
import { saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

describe.skipIf(!hasPoppler)("labels (needs poppler-utils)", () => {
  it("of a coating leave a line for the day where none is known", async () => {
    const { store } = testApp();
    const { coatingId } = saveSampleMaterials(store);
    const { text } = pdfFacts(await makeLabels({ store }, labelsRequestSchema.parse({ coatings: coatingId })));
    expect(text).toContain(store.coatings.get(coatingId).name);
    expect(text).toMatch(/mixed on _+/);
  });

  it("that are small keep their title and leave out what does not fit", async () => {
    const label = { title: "Wash", lines: ["first", "second", "third", "fourth", "fifth"], hazard: "" };
    const { text } = pdfFacts(await labelsPdf({ labels: [label], columns: 5, rows: 20, skip: 0 }));
    expect(text).toContain("Wash");
    expect(text).not.toContain("fifth");
  });
});
