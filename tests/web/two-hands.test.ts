// Two people change one record: the later one is told, nothing is overwritten in silence, and both versions can be
// seen.
import request from "supertest";
import { describe, expect, it } from "vitest";
import { sampleTestRecord, savePicture, saveSampleMaterials } from "../support/studios/sample-records.ts";
import { testApp } from "../support/test-app.ts";

const { app, store } = testApp();
const materials = saveSampleMaterials(store);

async function newTest(): Promise<string> {
  const record = sampleTestRecord(materials, await savePicture(store, "two hands"));
  return store.transaction(() => store.tests.save(record)).id;
}

describe("over the API", () => {
  it.each([
    ["a lamp", async () => `/api/lamps/${materials.lampId}`],
    ["a test", async () => `/api/tests/${await newTest()}`],
    [
      "a print",
      async () =>
        `/api/prints/${
          (
            await request(app)
              .post("/api/prints")
              .send({ ...materials, exposureSeconds: 60 })
          ).body.id
        }`,
    ],
  ])("%s changed on an older version is refused with both versions, by header or by field", async (_case, make) => {
    const path = await make();
    const opened = await request(app).get(path).expect(200);
    const seen = opened.headers["etag"]!;
    expect(seen).toBe(`"${opened.body.updatedAt}"`);
    const first = await request(app).patch(path).set("If-Match", seen).send({ name: "the first" }).expect(200);
    expect(first.headers["etag"]).not.toBe(seen);
    for (const answer of [
      await request(app).patch(path).set("If-Match", seen).send({ name: "the second" }),
      await request(app).patch(path).send({ name: "the second", version: opened.body.updatedAt }),
    ]) {
      expect(answer.status).toBe(409);
      expect(answer.body).toMatchObject({ code: "changed-meanwhile", field: "version" });
      expect(answer.body.current).toMatchObject({ id: opened.body.id });
      expect(answer.body.yours).toMatchObject({ name: "the second" });
    }
    expect((await request(app).get(path)).body.name).toBe("the first");
    // Whoever says nothing, or takes any version, is not held up.
    await request(app).patch(path).set("If-Match", "*").send({ name: "any" }).expect(200);
    await request(app).patch(path).send({ name: "none" }).expect(200);
    await request(app)
      .patch(path)
      .send({ name: "newest", version: (await request(app).get(path)).body.updatedAt })
      .expect(200);
  });

  it("two changes within one millisecond are two versions", async () => {
    const path = `/api/supports/${materials.supportId}`;
    const versions = new Set<string>();
    for (let n = 0; n < 20; n++)
      versions.add(
        (
          await request(app)
            .patch(path)
            .send({ notes: String(n) })
        ).body.updatedAt,
      );
    expect(versions.size).toBe(20);
  });
});

describe("on the pages", () => {
  const versionIn = (page: string): string => /name="version" value="([^"]+)"/.exec(page)?.[1] ?? "";

  it("a material changed on an older version shows both, and saves when sent again", async () => {
    const path = `/materials/films/${materials.filmId}`;
    const version = versionIn((await request(app).get(path)).text);
    await request(app).post(path).type("form").send({ name: "Theirs", version }).expect(303);
    const told = await request(app).post(path).type("form").send({ name: "Yours", version });
    expect(told.status).toBe(409);
    expect(told.text).toContain("Changed meanwhile");
    expect(told.text).toMatch(/yours \u201cYours\u201d, theirs \u201cTheirs\u201d/);
    expect(store.films.get(materials.filmId).name).toBe("Theirs");
    await request(app)
      .post(path)
      .type("form")
      .send({ name: "Yours", version: versionIn(told.text) })
      .expect(303);
    expect(store.films.get(materials.filmId).name).toBe("Yours");
  });

  it("a test changed on an older version keeps what was typed and leads to what was saved", async () => {
    const id = await newTest();
    const page = (await request(app).get(`/tests/${id}/edit`)).text;
    await request(app).patch(`/api/tests/${id}`).send({ name: "theirs" }).expect(200);
    const told = await request(app)
      .post(`/tests/${id}/edit`)
      .type("form")
      .send({ ...fieldsOf(page), name: "yours", version: versionIn(page) });
    expect(told.status).toBe(409);
    expect(told.text).toContain("What you typed is still here");
    expect(told.text).toContain('value="yours"');
    expect(store.tests.get(id).request.name).toBe("theirs");
  });
});

/** What a browser would send of a page's first form: its inputs and chosen options. */
function fieldsOf(page: string): Record<string, string> {
  const fields: Record<string, string> = {};
  for (const [tag] of page.matchAll(/<input[^>]*>/g)) {
    const name = /name="([^"]+)"/.exec(tag)?.[1];
    const isOff = /type="(radio|checkbox)"/.test(tag) && !/checked/.test(tag);
    if (name !== undefined && !isOff) fields[name] = /value="([^"]*)"/.exec(tag)?.[1] ?? "";
  }
  for (const [, name, options] of page.matchAll(/<select[^>]*name="([^"]+)"[^>]*>([\s\S]*?)<\/select>/g)) {
    const chosen =
      /<option value="([^"]*)"[^>]*selected/.exec(options ?? "") ?? /<option value="([^"]*)"/.exec(options ?? "");
    fields[name ?? ""] = chosen?.[1] ?? "";
  }
  return fields;
}
