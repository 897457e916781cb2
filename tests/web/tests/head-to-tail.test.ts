// Two strips of one sheet over HTTP: the second test names the first, and both are read together.
import supertest from "supertest";
import { describe, expect, it } from "vitest";
import { stepInputs } from "#shared/tablet/step-inputs.ts";
import { checkHeadToTail } from "#src/studio/tests/strips-of-sheet.ts";
import { sampleTestRecord, saveSampleMaterials, savePicture } from "../../support/studios/sample-records.ts";
import { logistic, syntheticReading, tablet21 } from "../../support/studios/synthetic-test.ts";
import { testApp } from "../../support/test-app.ts";

const density = logistic({ net: 1.5, middle: 2.2, rate: 4.5 });
const exposureSeconds = 1200;

async function sheet() {
  const made = testApp();
  const materials = saveSampleMaterials(made.store);
  const strips = [];
  for (const isTurned of [false, true]) {
    const record = sampleTestRecord(materials, await savePicture(made.store, isTurned ? "turned" : "upright"), {
      tablet: tablet21,
      exposureSeconds,
    });
    const reading = syntheticReading({ tablet: tablet21, exposureSeconds, density, noise: () => 0 });
    const last = stepInputs(tablet21).length - 1;
    const steps = reading.steps.map((step, i) => {
      const red = step.red * (1 + 0.03 * ((2 * i) / last - 1) * (isTurned ? -1 : 1));
      return { ...step, red, visual: red };
    });
    strips.push(made.store.transaction(() => made.store.tests.save({ ...record, reading: { ...reading, steps } })));
  }
  return { ...made, api: supertest(made.app), first: strips[0]!, second: strips[1]! };
}

describe("two strips of one sheet, head to tail", () => {
  it("are read together once the second names the first, and each page leads to the other", async () => {
    const { api, first, second } = await sheet();
    const { body } = await api.patch(`/api/tests/${second.id}`).send({ headToTailTestId: first.id }).expect(200);
    expect(body.curve.coatingSlope.share).toBeCloseTo(-0.03, 6);
    expect(body.exposure.reasons.join(" ")).toContain("3.0 % from the middle to an end");
    const page = await api.get(`/tests/${second.id}`).expect(200);
    expect(page.text).toContain(`href="/tests/${first.id}">the other strip`);
    const other = await api.get(`/tests/${first.id}`).expect(200);
    expect(other.text).toContain(`href="/tests/${second.id}">the other strip`);
  });

  it("are refused by name where the other is of another tablet, and fine where none is named", async () => {
    const { store, first, second } = await sheet();
    const asked = { ...second.request, headToTailTestId: first.id };
    expect(() => checkHeadToTail(store, { ...asked, tablet: { kind: "timed", seconds: [60, 30, 15] } })).toThrow(
      "same tablet",
    );
    expect(() => checkHeadToTail(store, second.request)).not.toThrow();
  });

  it("count as one print in the lookup", async () => {
    const { api, first, second } = await sheet();
    await api.patch(`/api/tests/${first.id}`).send({ notes: "alone" }).expect(200);
    await api.patch(`/api/tests/${second.id}`).send({ headToTailTestId: first.id }).expect(200);
    const { lampId, supportId, coatingId, filmId } = first.request;
    const { body } = await api.get("/api/exposures").query({ lampId, supportId, coatingId, filmId }).expect(200);
    expect(body.source).toBe("tested");
    expect(body.testIds).toEqual([second.id]);
  });

  it("are offered in the form, and forgotten when none is chosen there", async () => {
    const { api, first, second, store } = await sheet();
    const form = await api.get(`/tests/${second.id}/edit`).expect(200);
    expect(form.text).toContain(`<option value="${first.id}"`);
    await api.patch(`/api/tests/${second.id}`).send({ headToTailTestId: first.id }).expect(200);
    await api.patch(`/api/tests/${second.id}`).send({ headToTailTestId: null }).expect(200);
    expect(store.tests.get(second.id).curve?.coatingSlope).toBeUndefined();
  });

  it.each([
    ["a test that is not there", () => ({ headToTailTestId: "nowhere" })],
    ["itself", (ids: { second: string }) => ({ headToTailTestId: ids.second })],
    ["one of another exposure", (ids: { first: string }) => ({ headToTailTestId: ids.first, exposureSeconds: 600 })],
  ])("refuse %s, and say why", async (_name, changes) => {
    const { api, first, second } = await sheet();
    const answer = await api.patch(`/api/tests/${second.id}`).send(changes({ first: first.id, second: second.id }));
    expect(answer.status).toBe(400);
    expect(answer.body.field).toBe("headToTailTestId");
  });
});
