// A print that is toned afterwards, by two tests of one invented print: before, and after its paler tones lost most.
import request from "supertest";
import { describe, expect, it } from "vitest";
import type { Reading } from "#shared/schema/reading.ts";
import { correctionOfTest } from "#src/studio/negatives/correct.ts";
import { printedLightness, usualPrint } from "../../support/pictures/printed-strip.ts";
import { levelsReading, saveLevelsTest } from "../../support/studios/levels-test.ts";
import { sampleTestRecord, savePicture } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

/** Invented bleaching. */
function bleached(reading: Reading): Reading {
  const steps = reading.steps.map((step) => {
    const visual = Math.max(0, step.visual - 0.25 * step.visual * (1.6 - step.visual));
    return { ...step, visual, lightness: printedLightness(visual) };
  });
  return { ...reading, steps };
}

async function bothTests() {
  const { app, store } = testApp();
  const { id, materials } = await saveLevelsTest(store);
  const { tablet } = store.tests.get(id).request;
  const record = sampleTestRecord(materials, await savePicture(store, "bleached"), {
    tablet,
    name: "The same, bleached",
  });
  const reading = bleached(levelsReading(usualPrint, 32));
  const toned = store.transaction(() => store.tests.save({ ...record, reading }));
  return { app, store, id, tonedId: toned.id };
}

describe("a target for a print that is toned afterwards", () => {
  it("gives for the plain sheet the curve that the toned one would have given itself", async () => {
    const { app, store, id, tonedId } = await bothTests();
    const target = `toned:${tonedId},${id}`;
    const { body } = await request(app).get(`/api/tests/${id}/correction`).query({ target }).expect(200);
    const own = correctionOfTest({ store }, { testId: tonedId, target: "lightness" }).correction.levels;
    for (let wanted = 15; wanted < 250; wanted += 15)
      expect(Math.abs(body.levels[wanted] - own[wanted]!)).toBeLessThan(1.5);
    const plain = correctionOfTest({ store }, { testId: id, target: "lightness" }).correction.levels;
    expect(Math.max(...plain.map((level, at) => Math.abs(level - own[at]!)))).toBeGreaterThan(5);
  });

  it("is chosen on the curve's page, and goes with the curve into the negative's form", async () => {
    const { app, id, tonedId } = await bothTests();
    const { headers } = await request(app)
      .get(`/tests/${id}/correction?plainTestId=${id}&tonedTestId=${tonedId}`)
      .expect(303);
    const page = (
      await request(app)
        .get(headers["location"] as string)
        .expect(200)
    ).text;
    expect(page).toContain("Even once it is toned or bleached (shown)");
    const [, address = ""] = /href="(\/negatives\/new[^"]*)"/.exec(page) ?? [];
    const form = (await request(app).get(address.replaceAll("&amp;", "&")).expect(200)).text;
    expect(form).toContain("Even steps of lightness, once it is toned or bleached");
  });

  it("of a test that is not here, is refused by the target's name", async () => {
    const { app, id } = await bothTests();
    const { body } = await request(app)
      .get(`/api/tests/${id}/correction`)
      .query({ target: `toned:none,${id}` })
      .expect(400);
    expect(body.field).toBe("target");
    await request(app).get(`/api/tests/${id}/correction`).query({ target: "toned:one" }).expect(400);
  });
});
