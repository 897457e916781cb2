// Papers for the wall and the binder, from records in a real store.
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { makeLidCard, makeTestReport } from "#src/studio/paper-records.ts";
import { fakeImaging } from "../support/fake-imaging.ts";
import { hasPoppler, pdfFacts } from "../support/pictures/pdf-facts.ts";
import { savePicture, saveSampleMaterials } from "../support/studios/sample-records.ts";
import { saveTablet } from "../support/studios/saved-tablets.ts";
import { testApp } from "../support/test-app.ts";

describe.skipIf(!hasPoppler)("papers (need poppler-utils)", () => {
  it("a lid card carries the lookup's time of each combination and the box's address", async () => {
    const { store } = testApp();
    const materials = saveSampleMaterials(store);
    saveTablet(store, materials, await savePicture(store));
    const card = await makeLidCard(
      { store },
      {
        lampId: materials.lampId,
        address: "http://192.168.0.7:4870/x",
        paper: "a4",
        now: new Date("2026-05-01T10:00:00Z"),
      },
    );
    const { text } = pdfFacts(card);
    expect(text).toMatch(/Paper\s+Blue, Clear film/);
    // 10^2.849 s, as tests/studio/look-up-exposure.test.ts reckons it: 11 min 46 s.
    expect(text).toMatch(/\b11:4\d\b/);
    expect(text).toContain("http://192.168.0.7:4870/x");
    expect(text).toContain("never look at the tubes");
    await expect(makeLidCard({ store }, { lampId: "nope", address: "", paper: "a4", now: new Date() })).rejects.toThrow(
      /no lamp/,
    );
  });

  it("a lid card whose newest tests stand apart asks for a test, as the box's page does", async () => {
    const { store } = testApp();
    const materials = saveSampleMaterials(store);
    const card = async (): Promise<string> => {
      const now = new Date("2026-05-20T10:00:00Z");
      return pdfFacts(await makeLidCard({ store }, { lampId: materials.lampId, address: "x", paper: "a4", now })).text;
    };
    const save = async (daysAgo: number, shift: number): Promise<void> => {
      const madeAt = new Date(Date.now() - daysAgo * 24 * 3600 * 1000).toISOString();
      saveTablet(store, materials, await savePicture(store, `picture ${daysAgo}`), { shift, madeAt });
    };
    for (const [index, shift] of [0, 0.01, -0.01, 0, 0.01, -0.01].entries()) await save(40 - index, shift);
    expect(await card()).toContain("test again by");
    for (const daysAgo of [3, 2, 1]) await save(daysAgo, 0.17);
    expect(await card()).toMatch(/newest tests differ: test\s+again/);
  });

  it("a report shows the words that it is given beside the test's own picture", async () => {
    const jpeg = await sharp({ create: { width: 30, height: 20, channels: 3, background: "#123" } })
      .jpeg()
      .toBuffer();
    const imaging = fakeImaging({ preview: () => ({ jpeg, width: 30, height: 20 }) });
    const { store } = testApp({ imaging });
    const id = saveTablet(store, saveSampleMaterials(store), await savePicture(store));
    const words = {
      title: "Strip 7",
      materials: "Box, Rag",
      time: "8:20",
      range: "",
      verdict: "Good test",
      reasons: [],
      warnings: [],
      conditions: [],
      plot: null,
      steps: [],
      inputLabel: "film density",
      footing: "Deferring to local rules.",
    };
    const { text } = pdfFacts(await makeTestReport({ store, imaging }, id, words));
    expect(text).toContain("Strip 7");
    expect(text).toContain("Deferring to local rules.");
    expect(imaging.asked).toEqual(["preview"]);
  });
});
