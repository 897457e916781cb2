// The new-test form as it greets someone who made tests before, and what it says when something is wrong.
import request from "supertest";
import { describe, expect, it } from "vitest";
import { fakeImaging, preview } from "../../support/fake-imaging.ts";
import { sampleTestRecord, saveSampleMaterials, savePicture } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

async function savedTest(options: Parameters<typeof sampleTestRecord>[2] = {}) {
  const made = testApp({ imaging: fakeImaging({ preview }) });
  const materials = saveSampleMaterials(made.store);
  const picture = await savePicture(made.store);
  const test = made.store.transaction(() => made.store.tests.save(sampleTestRecord(materials, picture, options)));
  return { ...made, materials, picture, test };
}

const form = async (app: Parameters<typeof request>[0], query = "") =>
  (await request(app).get(`/tests/new${query}`).set("Accept", "text/html").expect(200)).text;

const chosenOf = (html: string, name: string): string | undefined =>
  new RegExp(`<select id="${name}"[^>]*>[\\s\\S]*?</select>`)
    .exec(html)?.[0]
    .match(/value="([^"]*)"[^>]* selected/)?.[1];

describe("the new-test form", () => {
  it("with nothing saved, says nothing of a test before", async () => {
    const { app } = testApp();
    expect(await form(app)).not.toContain("Chosen as in your last test");
  });

  it("after a test, has its materials and its tablet chosen, and says so; the time is asked anew", async () => {
    const { app, materials } = await savedTest({
      tablet: { kind: "timed", seconds: [960, 480, 240, 120] },
      exposureSeconds: undefined,
    });
    const html = await form(app);
    expect(html).toContain("Chosen as in your last test");
    expect(chosenOf(html, "lampId")).toBe(materials.lampId);
    expect(chosenOf(html, "supportId")).toBe(materials.supportId);
    expect(html).toMatch(/value="timed"[^>]* checked/);
    expect(html).toContain("960 480 240 120");
    expect(html).toMatch(/name="exposureMinutes"[^>]*value=""/);
  });

  it("whose address names a material or a tablet, takes none from the last test", async () => {
    const { app, materials } = await savedTest();
    const html = await form(app, `?lampId=${materials.lampId}&supportId=other&tabletChoice=sheet`);
    expect(chosenOf(html, "coatingId") ?? "").toBe("");
    expect(html).toMatch(/value="sheet"[^>]* checked/);
    expect(html).not.toContain("Chosen as in your last test");
  });

  it("shows three kinds of tablet after the studio's own, the rest folded away until one is chosen", async () => {
    const { app, store } = testApp();
    const { id } = store.tablets.create({
      name: "Grey wedge no. 4",
      notes: "",
      densities: [0.05, 0.2, 0.36, 0.5],
      isMeasured: true,
      scale: 1,
      baseShiftDensity: 0,
      archived: false,
    });
    const html = await form(app);
    const [shown = "", others = ""] = html.split('<details class="add-in-place other-kinds"');
    const values = (part: string) =>
      [...part.matchAll(/name="tabletChoice" value="([^"]+)"/g)].map((match) => match[1]);
    expect(values(shown)).toEqual([`own-${id}`, "even-21", "even-31", "timed"]);
    expect(values(others)).toEqual(["even-41", "even-other", "listed", "levels", "sheet"]);
    expect(others.startsWith(">")).toBe(true);
    expect(await form(app, "?tabletChoice=levels")).toContain('<details class="add-in-place other-kinds" open>');
  });

  it("sent with something missing, names every field at the top, each a link to a marked control", async () => {
    const { app } = testApp();
    const { text } = await request(app)
      .post("/tests/new")
      .set("Accept", "text/html")
      .type("form")
      .send({ tabletChoice: "listed", densities: "0.1 x", humidityPercent: "200", notes: "kept" })
      .expect(400);
    const summary = /<div class="notice stop error-summary"[\s\S]*?<\/ul>/.exec(text)?.[0] ?? "";
    const links = [...summary.matchAll(/href="#([^"]+)"/g)].map((match) => match[1]!);
    expect(links).toEqual([
      "photo",
      "densities",
      "lampId-new",
      "supportId-new",
      "coatingId-new",
      "exposure-minutes",
      "humidityPercent",
    ]);
    expect(summary).toContain("The humidity must be at most 100.");
    for (const id of links) {
      const control = new RegExp(`<(?:input|select|textarea)[^>]* id="${id}"[^>]*>`).exec(text)?.[0];
      expect(control, id).toContain("aria-describedby");
      const [, described = ""] = /aria-describedby="([^"]*)"/.exec(control!) ?? [];
      expect(
        described.split(" ").some((each) => each.endsWith("-error") && text.includes(`id="${each}"`)),
        id,
      ).toBe(true);
    }
    expect(text).toMatch(/<textarea id="densities"[^>]*aria-invalid="true"[^>]*>\s*0\.1 x<\/textarea>/);
    expect(text).toContain("kept</textarea>");
  });
});

describe("which picture to take", () => {
  it("is said in three drawn ways, the surest first, with more to read", async () => {
    const page = await form(testApp().app);
    const coach = /<details class="coach">[\s\S]*?<\/details>/.exec(page)?.[0] ?? "";
    expect([...coach.matchAll(/<li>\s*<svg[\s\S]*?<strong>(.*?)<\/strong>/g)].map(([, words]) => words)).toEqual([
      "Scan it.",
      "Or photograph it with your film tablet beside it,",
      "Or take three photos",
    ]);
    expect(coach).toContain('href="/help/how-to/take-a-good-photo"');
  });
});

describe("a picture that was just chosen", () => {
  it("that is small, is kept and doubted", async () => {
    const { app } = testApp({ imaging: fakeImaging({ preview }) });
    const { body } = await request(app).post("/pictures").attach("photo", Buffer.from("small"), "a.jpg").expect(201);
    expect(body).toMatchObject({ width: 640, height: 200 });
    expect((body as { hint: string }).hint).toMatch(/Only 640 × 200 pixels/);
  });

  it("of a plain sheet, is kept, and not said to lack blue or edges", async () => {
    const glance = { lightLevel: 0.9, highlightShare: 0, blueShare: 0, blueLengthShare: 0, edgeWidthPx: 20 };
    const large = { fullWidth: 2000, fullHeight: 1500, glance };
    const { app } = testApp({ imaging: fakeImaging({ preview: () => ({ ...preview(), ...large }) }) });
    const hintOf = async (query: string): Promise<string | null> =>
      (await request(app).post(`/pictures${query}`).attach("photo", Buffer.from("sheet"), "a.jpg").expect(201)).body
        .hint;
    expect(await hintOf("")).toMatch(/No blue print/);
    expect(await hintOf("?shows=plain-sheet")).toBeNull();
  });

  it("whose file holds further pages, is kept, and the page that is read is named", async () => {
    const several = { code: "several-pictures-in-file", of: 3, are: "pages" } as const;
    const { app } = testApp({ imaging: fakeImaging({ preview: () => ({ ...preview(), several }) }) });
    const { body } = await request(app).post("/pictures").attach("photo", Buffer.from("pages"), "a.tif").expect(201);
    expect((body as { hint: string }).hint).toMatch(/the first of 3 pages is read/);
  });
});

describe("titles of unnamed tests", () => {
  it("of one combination and one day are all different; a named test keeps its name", async () => {
    const { app, store, materials, picture } = await savedTest({ name: "", madeAt: "2026-05-01T10:00:00+02:00" });
    const save = (name: string, madeAt: string) =>
      store.transaction(() => store.tests.save(sampleTestRecord(materials, picture, { name, madeAt }))).id;
    const second = save("", "2026-05-01T10:00:00+02:00");
    const named = save("Morning", "2026-05-01T11:00:00+02:00");
    const third = save("", "2026-05-01T23:59:00+02:00");
    const nextDay = save("", "2026-05-02T00:00:00+02:00");
    const titleOf = async (id: string) =>
      /<h1[^>]*>([^<]*)/.exec((await request(app).get(`/tests/${id}`).set("Accept", "text/html")).text)?.[1];
    const ids = [...store.tests.list().tests].map(({ id }) => id);
    const titles = await Promise.all(ids.map(titleOf));
    expect(new Set(titles).size).toBe(5);
    expect(await titleOf(named)).toBe("Morning");
    expect(await titleOf(third)).toMatch(/1 May 2026, third test$/);
    expect(await titleOf(nextDay)).toMatch(/2 May 2026$/);
    expect(await titleOf(second)).toMatch(/1 May 2026(, second test)?$/);
  });
});
