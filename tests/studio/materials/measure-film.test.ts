import request from "supertest";
import { describe, expect, it } from "vitest";
import type { ReadingStep } from "#shared/schema/reading.ts";
import { filmOfTest, keepMeasuredFilm } from "#src/studio/materials/measure-film.ts";
import { sampleTestRecord, savePicture, saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { blue, saveTablet } from "../../support/studios/saved-tablets.ts";
import { testApp } from "../../support/test-app.ts";

/** A made-up film: base 0.1, densest black 1.3. */
const filmDensity = (level: number): number => 0.1 + 1.2 * (level / 255);
const levels = [0, 51, 102, 153, 204, 255];

async function studio() {
  const { app, store } = testApp();
  const materials = saveSampleMaterials(store);
  const picture = await savePicture(store);
  const record = sampleTestRecord(materials, picture, { tablet: { kind: "levels", levels }, exposureSeconds: 400 });
  const step = record.reading.steps[0] as ReadingStep;
  const steps = levels.map((level, index) => ({
    ...step,
    index: index + 1,
    input: level,
    red: blue(Math.log10(400) - filmDensity(level)),
    sigma: 0.005,
  }));
  const { id } = store.transaction(() =>
    store.tests.save({ ...record, curve: null, reading: { ...record.reading, steps } }),
  );
  return { app, store, materials, picture, id };
}

describe("filmOfTest", () => {
  it("when a tablet test of the same coating has a curve, finds the density of each grey level", async () => {
    const { app, store, materials, picture, id } = await studio();
    const through = saveTablet(store, materials, picture);
    const film = filmOfTest({ store }, id);
    expect(film?.throughTestId).toBe(through);
    const exact = film?.levels.filter((each) => each.bound === "exact") ?? [];
    expect(exact.map(({ level }) => level)).toEqual(levels.slice(0, -1));
    for (const each of exact) expect(Math.abs(each.filmDensity - filmDensity(each.level))).toBeLessThan(0.03);
    expect((await request(app).get(`/api/tests/${id}/film`).expect(200)).body).toEqual(film);
  });

  it("when kept, gives the film its measured base, and no densest black where a bound alone is known", async () => {
    const { store, materials, picture, id } = await studio();
    saveTablet(store, materials, picture);
    const { id: _id, createdAt: _createdAt, updatedAt: _updatedAt, ...before } = store.films.get(materials.filmId);
    store.films.replace(materials.filmId, { ...before, baseDensity: 0.25, maxDensity: 2 });
    const film = filmOfTest({ store }, id);
    expect(film?.levels.at(-1)?.bound).toBe("at-least");
    const kept = keepMeasuredFilm({ store }, id);
    // The made-up film's base is 0.1; its black of 1.3 kept the paper white, so what was known of it before stays.
    expect(kept?.baseDensity).toBeCloseTo(0.1, 2);
    expect(kept?.maxDensity).toBe(2);
    expect(store.films.get(materials.filmId)).toEqual(kept);
    const [inLight] = kept?.inLights ?? [];
    expect(inLight).toMatchObject({ lampId: materials.lampId, maxDensity: null });
    expect(inLight?.baseDensity).toBeCloseTo(0.1, 2);
    expect(inLight?.baseSigmaDensity).toBeGreaterThan(0.005);
  });

  it("when the film was measured under another light already, leaves its one number alone", async () => {
    const { store, materials, picture, id } = await studio();
    saveTablet(store, materials, picture);
    const other = store.lamps.create({ name: "Other box", kind: "tubes", notes: "", archived: false });
    const { id: _id, createdAt: _createdAt, updatedAt: _updatedAt, ...before } = store.films.get(materials.filmId);
    const elsewhere = { lampId: other.id, baseDensity: 0.25 };
    store.films.replace(materials.filmId, { ...before, baseDensity: 0.25, inLights: [elsewhere] });
    const kept = keepMeasuredFilm({ store }, id);
    expect(kept?.baseDensity).toBe(0.25);
    expect(kept?.inLights?.map(({ lampId }) => lampId)).toEqual([other.id, materials.lampId]);
  });

  it("when tablet and strip were printed on different days, warns and keeps nothing", async () => {
    const { store, materials, id } = await studio();
    saveTablet(store, materials, await savePicture(store, "another picture"));
    const film = filmOfTest({ store }, id);
    expect(film?.warnings.map((warning) => warning.code)).toContain("film-other-print");
    expect(keepMeasuredFilm({ store }, id)).toBeNull();
  });

  it("when there is no tablet test of this coating, or the test is one itself, says so", async () => {
    const { app, store, materials, picture, id } = await studio();
    expect(filmOfTest({ store }, id)).toBeNull();
    expect((await request(app).get(`/api/tests/${id}/film`).expect(409)).body.detail).toContain("tablet test");
    const tablet = saveTablet(store, materials, picture);
    expect(filmOfTest({ store }, tablet)).toBeNull();
    await request(app).get("/api/tests/nope/film").expect(404);
  });
});
