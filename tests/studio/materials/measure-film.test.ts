import request from "supertest";
import { describe, expect, it } from "vitest";
import { fitCharacteristicCurve } from "#shared/curve/fit-characteristic-curve.ts";
import type { Curve } from "#shared/schema/curve.ts";
import type { ReadingStep } from "#shared/schema/reading.ts";
import type { Store } from "#src/store/store.ts";
import { filmOfTest, keepMeasuredFilm } from "#src/studio/materials/measure-film.ts";
import { lampHistory } from "#src/studio/lamps/lamp-history.ts";
import {
  sampleTestRecord,
  savePicture,
  saveSampleMaterials,
  type SampleMaterials,
} from "../../support/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

/** A made-up coating: D = 1.6 / (1 + exp(-4 (log H - 2.2))). */
const blue = (logH: number): number => 1.6 / (1 + Math.exp(-4 * (logH - 2.2)));
const inverse = (shift: number): Curve => {
  const curve = fitCharacteristicCurve({
    channel: "red",
    steps: Array.from({ length: 21 }, (_, index) => ({
      index: index + 1,
      logH: 3.3 + shift - 0.15 * index,
      sigmaLogH: 0,
      density: blue(3.3 - 0.15 * index),
      sigma: 0.005,
      isFlagged: false,
    })),
  });
  if (curve === null) throw new Error("no curve");
  return curve;
};
/** A made-up film: base 0.1, densest black 1.3. */
const filmDensity = (level: number): number => 0.1 + 1.2 * (level / 255);
const levels = [0, 51, 102, 153, 204, 255];

function saveTablet(
  store: Store,
  materials: SampleMaterials,
  picture: string,
  { shift = 0, distanceMm }: { shift?: number; distanceMm?: number } = {},
): string {
  const record = sampleTestRecord(materials, picture, distanceMm === undefined ? {} : { lampDistanceMm: distanceMm });
  return store.transaction(() =>
    store.tests.save({ ...record, curve: inverse(shift), exposure: { ...record.exposure, verdict: "ok" } }),
  ).id;
}

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
    film?.levels.forEach((each) => {
      if (each.bound === "exact") expect(Math.abs(each.filmDensity - filmDensity(each.level))).toBeLessThan(0.03);
    });
    expect(film?.levels.filter((each) => each.bound === "exact").length).toBeGreaterThan(3);
    expect((await request(app).get(`/api/tests/${id}/film`).expect(200)).body).toEqual(film);
  });

  it("when kept, gives the film its base and densest black as far as they are known", async () => {
    const { store, materials, picture, id } = await studio();
    saveTablet(store, materials, picture);
    const film = filmOfTest({ store }, id);
    const kept = keepMeasuredFilm({ store }, id);
    // The strip's clearest and densest levels lie outside what the coating tells, or inside: what is a bound alone is
    // not kept.
    const isMeasured = (value: number | null | undefined): value is number => typeof value === "number";
    expect(film).not.toBeNull();
    expect(kept?.baseDensity).toBe(isMeasured(film?.baseDensity) ? Math.max(0, film.baseDensity) : 0.1);
    expect(kept?.maxDensity ?? null).toBe(isMeasured(film?.maxDensity) ? film.maxDensity : null);
    expect(store.films.get(materials.filmId)).toEqual(kept);
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

describe("lampHistory", () => {
  it("when tests at distances far apart keep the dose, finds an exponent of one; without a size, none", async () => {
    const { app, store, materials, picture } = await studio();
    const point = store.lamps.create({ name: "Lamp on a stand", notes: "", kind: "point", archived: false });
    const here = { ...materials, lampId: point.id };
    // Inverse square of a point: twice the distance, four times the seconds (log10 4 = 0.602).
    [
      [200, 0],
      [400, Math.log10(4)],
      [300, Math.log10(2.25)],
    ].forEach(([distanceMm = 0, shift = 0]) => saveTablet(store, here, picture, { distanceMm, shift }));
    expect(lampHistory({ store }, point.id).reciprocity?.exponent).toBeCloseTo(1, 3);
    const { distance } = lampHistory({ store }, point.id);
    expect(Math.abs(distance?.fit.offsetMm ?? Number.NaN)).toBeLessThan(2);
    expect(distance?.fit.worstMissPercent).toBeLessThan(1);
    const page = await request(app).get(`/materials/lamps/${point.id}`).expect(200);
    expect(page.text).toContain("400 mm takes 4.0 times as long as 200 mm");
    expect(lampHistory({ store }, materials.lampId)).toMatchObject({ reciprocity: null, distance: null });
  });
});
