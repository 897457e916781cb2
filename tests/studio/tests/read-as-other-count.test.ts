// A picture that looks like another usual number of steps than was said.
import request from "supertest";
import { describe, expect, it } from "vitest";
import type { ReadingRequest } from "#shared/schema/reading.ts";
import { tabletOfOtherCount } from "#shared/tablet/usual-tablet.ts";
import { readAsOtherCount } from "#src/studio/tests/read-as-other-count.ts";
import { fakeImaging } from "../../support/fake-imaging.ts";
import { sampleReading, sampleRequest, saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

const even = { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 } as const;

/** Looks like 31 steps whatever else is said. */
async function studio() {
  const imaging = fakeImaging({
    "measure-reading": (job) => {
      const { tablet } = (job as { request: ReadingRequest }).request;
      const declared = tablet.kind === "transmission" && "steps" in tablet ? tablet.steps : 0;
      const warnings = declared === 31 ? [] : [{ code: "looks-like-other-count", declared, looksLike: 31 }];
      return { ...sampleReading(), image: { ...sampleReading().image, profile: { code: "untagged" } }, warnings };
    },
  });
  const made = testApp({ imaging });
  const asked = { ...sampleRequest(saveSampleMaterials(made.store)), tablet: even };
  const { body } = await request(made.app)
    .post("/api/tests")
    .field("request", JSON.stringify(asked))
    .attach("photo", Buffer.from("a picture"), "print.jpg")
    .expect(201);
  return { ...made, tools: { store: made.store, imaging }, body };
}

describe("a test whose picture looks like another usual count", () => {
  it("tells the count in its answer, and offers both on its page", async () => {
    const { app, body } = await studio();
    expect(body.reading.location.looksLikeSteps).toBe(31);
    const { text } = await request(app).get(`/tests/${body.id}`).set("Accept", "text/html").expect(200);
    expect(text).toContain("Read it as 31 steps");
    expect(text).toMatch(/It has \d+: show me the corners/);
  });

  it("is read anew with it at one press, and offers nothing more", async () => {
    const { app, store, body } = await studio();
    await request(app).post(`/tests/${body.id}/count`).type("form").send({}).expect(303);
    expect(store.tests.get(body.id).request.tablet).toEqual({ ...even, steps: 31, increment: 0.1 });
    const { text } = await request(app).get(`/tests/${body.id}`).set("Accept", "text/html").expect(200);
    expect(text).not.toContain("Read it as");
  });

  it("stays as it is where the picture looks like no other", async () => {
    const { tools, body } = await studio();
    const read = await readAsOtherCount(tools, body.id);
    expect(await readAsOtherCount(tools, body.id)).toEqual(read);
  });
});

describe("the usual tablet of another count", () => {
  it("is guessed for evenly spaced films of usual counts only", () => {
    expect(tabletOfOtherCount(even, 41)).toEqual({ ...even, steps: 41, increment: 0.05 });
    expect(tabletOfOtherCount(even, 17)).toBeNull();
    expect(tabletOfOtherCount({ kind: "transmission", densities: [0.05, 0.2, 0.35] }, 31)).toBeNull();
    expect(tabletOfOtherCount({ kind: "timed", seconds: [8, 4, 2] }, 31)).toBeNull();
  });
});
