// A test from its picture to the bin: measured, assessed, saved, read again, deleted. The reading itself is made up.
import { describe, expect, it } from "vitest";
import { testRequestSchema } from "#shared/schema/test.ts";
import { readingTrouble } from "#shared/reading/reading-troubles.ts";
import { inBin } from "#src/studio/safekeeping/bin.ts";
import { assessWithMaterials, readviseWithFilm } from "#src/studio/tests/assess-saved.ts";
import { deleteTest } from "#src/studio/tests/delete-test.ts";
import { measurePrint } from "#src/studio/tests/measure-print.ts";
import { recordTest } from "#src/studio/tests/record-test.ts";
import { rereadTest } from "#src/studio/tests/reread-test.ts";
import { fakeImaging } from "../../support/fake-imaging.ts";
import { sampleReading, sampleRequest, saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { logistic, syntheticReading, tablet21 } from "../../support/studios/synthetic-test.ts";
import { testApp } from "../../support/test-app.ts";

const photo = (text = "photo"): Uint8Array => new TextEncoder().encode(text);

/** A strip of 21 steps on a made-up coating whose 90 % lie at log H = 2 + ln(9) / 4. */
const strip = syntheticReading({
  tablet: tablet21,
  exposureSeconds: 1800,
  density: logistic({ net: 1.5, middle: 2, rate: 4 }),
});

function studio() {
  const imaging = fakeImaging({ "measure-reading": () => strip });
  const tools = testApp({ imaging });
  const materials = saveSampleMaterials(tools.store);
  const request = testRequestSchema.parse({ ...materials, tablet: tablet21, exposureSeconds: 1800, name: "Strip" });
  return { ...tools, imaging, materials, request };
}

describe("recordTest", () => {
  it("saves picture, reading and the time that follows from them, in one piece", async () => {
    const { store, imaging, request } = studio();
    const saved = await recordTest({ store, imaging }, { request, pictures: { photos: [photo()] } });
    expect(store.tests.get(saved.id)).toEqual(saved);
    expect(new TextDecoder().decode(await store.pictures.read(saved.pictureId))).toBe("photo");
    // Through the sample film of density 0.1.
    const known = 2 + Math.log(9) / 4 + 0.1;
    expect(Math.abs(Math.log10(saved.exposure.seconds ?? 1) - known)).toBeLessThan(0.03);
  });

  it("when a material is not there, reads nothing and keeps no picture", async () => {
    const { store, imaging, request } = studio();
    const wrong = { ...request, coatingId: "nope" };
    await expect(recordTest({ store, imaging }, { request: wrong, pictures: { photos: [photo()] } })).rejects.toThrow(
      expect.objectContaining({ field: "coatingId" }),
    );
    expect(imaging.asked).toEqual([]);
    expect(store.pictures.list()).toEqual([]);
  });
});

describe("measurePrint", () => {
  it("averages several pictures of one print, and says which of them cannot be read", async () => {
    const { store } = studio();
    const request = { tablet: tablet21 };
    const readings = [0, 0.02].map((more) => ({
      ...strip,
      steps: strip.steps.map((step) => ({ ...step, red: step.red + more })),
    }));
    const two = fakeImaging({ "measure-reading": () => readings.shift() });
    const averaged = await measurePrint(
      { store, imaging: two },
      { request, pictures: { photos: [photo(), photo("2")] } },
    );
    expect(averaged.steps[5]!.red).toBeCloseTo(strip.steps[5]!.red + 0.01, 3);

    let asked = 0;
    const second = fakeImaging({
      "measure-reading": () => {
        asked += 1;
        if (asked === 2) throw readingTrouble("not-a-picture", { code: "file-cut-short" }, { field: "photo" });
        return strip;
      },
    });
    await expect(
      measurePrint({ store, imaging: second }, { request, pictures: { photos: [photo(), photo("2")] } }),
    ).rejects.toThrow(expect.objectContaining({ field: "photo", detail: expect.stringMatching(/^Picture 2 of this/) }));
    await expect(measurePrint({ store, imaging: two }, { request, pictures: { photos: [] } })).rejects.toThrow(
      /missing/,
    );
  });
});

describe("assessWithMaterials and readviseWithFilm", () => {
  it("give the time through the film; another density of it moves the time and leaves the curve", async () => {
    const { store, imaging, request, materials } = studio();
    const assessed = assessWithMaterials(store, request, strip);
    const saved = await recordTest({ store, imaging }, { request, pictures: { photos: [photo()] } });
    expect(saved.exposure.seconds).toBe(assessed.exposure.seconds);
    const denser = { ...store.films.get(materials.filmId), baseDensity: 0.4 };
    const after = readviseWithFilm(store, denser, saved);
    expect(after.curve).toEqual(saved.curve);
    expect(Math.log10((after.exposure.seconds ?? 1) / (saved.exposure.seconds ?? 1))).toBeCloseTo(0.3, 6);
  });
});

describe("rereadTest", () => {
  it("when only words change, keeps the reading; when the tablet does, reads the picture again", async () => {
    const { store, imaging, request } = studio();
    const { id } = await recordTest({ store, imaging }, { request, pictures: { photos: [photo()] } });
    const renamed = await rereadTest({ store, imaging }, id, { name: "Strip by the window" });
    expect(renamed.request.name).toBe("Strip by the window");
    expect(imaging.asked).toHaveLength(1);
    await rereadTest({ store, imaging }, id, { tablet: { ...tablet21, increment: 0.1 } });
    expect(imaging.asked).toHaveLength(2);
  });

  it("when a field is null, forgets it", async () => {
    const { store, imaging, request } = studio();
    const tools = { store, imaging };
    const { id } = await recordTest(tools, { request: { ...request, lampHours: 40 }, pictures: { photos: [photo()] } });
    expect((await rereadTest(tools, id, { lampHours: null })).request.lampHours).toBeUndefined();
  });
});

describe("deleteTest", () => {
  it("takes the test and its pictures away, into the bin; a picture that another test uses stays", async () => {
    const { store, imaging, materials } = studio();
    const request = sampleRequest(materials, { name: "Gone" });
    const reading = fakeImaging({ "measure-reading": () => sampleReading() });
    const save = (photos: Uint8Array[]) => recordTest({ store, imaging: reading }, { request, pictures: { photos } });
    const [gone, kept] = [await save([photo("shared"), photo("own")]), await save([photo("shared")])];
    deleteTest({ store }, gone.id);
    expect(store.tests.find(gone.id)).toBeUndefined();
    expect(store.pictures.list().map(({ id }) => id)).toEqual([kept.pictureId]);
    expect(inBin({ store })).toMatchObject([{ kind: "test", label: "Gone" }]);
    expect(imaging.asked).toEqual([]);
  });
});
