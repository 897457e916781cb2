import { readFileSync } from "node:fs";
import { join } from "node:path";
import request from "supertest";
import { describe, expect, it } from "vitest";
import { rootDir } from "#src/settings.ts";
import { openStore } from "#src/store/store.ts";
import { bluesHref, houseAccents, housePaper } from "#src/web/blues/sheet.ts";
import { appOf } from "../../support/studios/filled-store.ts";
import { sampleTestRecord, savePicture, saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

/** Made up: a layer that takes 0.45 of green and 0.2 of blue for each unit of red density, in a test of its own. */
async function studio(share: { green: number; blue: number } | null) {
  const store = openStore(temporaryFolder());
  const record = sampleTestRecord(saveSampleMaterials(store), await savePicture(store));
  const steps = Array.from({ length: 8 }, (_, i) => {
    const red = (1.5 * (7 - i)) / 7;
    const [first] = record.reading.steps;
    if (first === undefined) throw new Error("the sample reading has steps");
    const colours = share === null ? {} : { green: red * share.green, blue: red * share.blue };
    return { ...first, index: i + 1, red, lightness: 100 - 7 * (7 - i), flags: [], ...colours };
  });
  const exposure = { ...record.exposure, verdict: "ok" as const };
  const save = { ...record, exposure, reading: { ...record.reading, steps } };
  return { app: appOf(store), test: store.transaction(() => store.tests.save(save)) };
}

describe("the blues of the user's own print", () => {
  it("stand in a style sheet that the test's pages and the board ask for", async () => {
    const { app, test } = await studio({ green: 0.45, blue: 0.2 });
    for (const page of ["/", `/tests/${test.id}`, `/tests/${test.id}/large`, "/materials"])
      expect((await request(app).get(page).expect(200)).text, page).toContain(
        `<link rel="stylesheet" href="${bluesHref(test)}">`,
      );
    const sheet = await request(app)
      .get(bluesHref(test))
      .expect(200)
      .expect("content-type", /text\/css/);
    expect(sheet.headers["cache-control"]).toContain("immutable");
    expect(sheet.text).toContain(`--print-0: ${housePaper};`);
    for (const token of Object.keys(houseAccents)) expect(sheet.text).toMatch(new RegExp(`${token}: light-dark\\(#`));
    // Stronger than the house's tokens, weaker than a chosen darkroom red, and nothing on paper.
    expect(sheet.text).toMatch(/^@layer tokens \{ @media screen \{ :root \{/);
  });

  it.each([
    ["toned brown", { green: 1.2, blue: 1.6 }],
    ["read before colours were kept", null],
  ])("of a print that was %s leave the house's own", async (_name, share) => {
    const { app, test } = await studio(share);
    expect((await request(app).get(bluesHref(test)).expect(200)).text).not.toContain("--");
  });

  it("with nothing saved are not asked for", async () => {
    const store = openStore(temporaryFolder());
    expect((await request(appOf(store)).get("/").expect(200)).text).not.toContain("blues.css");
  });

  it("of a test that is not there answer 404", async () => {
    const { app } = await studio(null);
    await request(app).get("/tests/none/blues.css").expect(404);
  });

  it("begin from the house's tokens as the style sheet has them", () => {
    const tokens = readFileSync(join(rootDir, "static", "styles", "tokens.css"), "utf8");
    for (const [token, [light, dark]] of Object.entries(houseAccents))
      expect(tokens).toContain(`${token}: light-dark(${light}, ${dark});`);
    expect(tokens).toContain(`--print-0: ${housePaper};`);
  });
});
