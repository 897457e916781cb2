import { describe, expect, it } from "vitest";
import { filmInputSchema } from "#shared/schema/materials.ts";
import { assessWithMaterials } from "#src/studio/tests/assess-saved.ts";
import { changeFilm } from "#src/studio/materials/change-film.ts";
import { savePicture, saveSampleMaterials, sampleTestRecord } from "../../support/studios/sample-records.ts";
import { logistic, syntheticReading, tablet21, testRequest } from "../../support/studios/synthetic-test.ts";
import { testApp } from "../../support/test-app.ts";

describe("changing a film", () => {
  it("when its base density changes, carries the times of its tests along without a new fit", async () => {
    const { store } = testApp();
    const materials = saveSampleMaterials(store);
    const film = store.films.create(filmInputSchema.parse({ name: "Clear film", baseDensity: 0.08 }));
    const exposureSeconds = 1800;
    const request = {
      ...testRequest({ tablet: tablet21, exposureSeconds, filmId: film.id }),
      lampId: materials.lampId,
      supportId: materials.supportId,
      coatingId: materials.coatingId,
    };
    const density = logistic({ net: 1.5, middle: 2.2, rate: 4.5 });
    const reading = syntheticReading({ tablet: tablet21, exposureSeconds, density });
    const pictureId = await savePicture(store);
    const before = store.transaction(() =>
      store.tests.save({
        ...sampleTestRecord(materials, pictureId),
        request,
        reading,
        ...assessWithMaterials(store, request, reading),
      }),
    );
    changeFilm({ store }, film.id, filmInputSchema.parse({ ...film, baseDensity: 0.2 }));
    const after = store.tests.get(before.id);
    expect(after.exposure.filmDensity).toBe(0.2);
    expect(Math.log10(after.exposure.seconds! / before.exposure.seconds!)).toBeCloseTo(0.12, 9);
    expect(after.curve).toEqual(before.curve);
    const inLights = [{ lampId: materials.lampId, baseDensity: 0.15, baseSigmaDensity: 0.005 }];
    changeFilm({ store }, film.id, filmInputSchema.parse({ ...film, baseDensity: 0.2, inLights }));
    expect(store.tests.get(before.id).exposure.filmDensity).toBe(0.15);
    changeFilm({ store }, film.id, filmInputSchema.parse({ ...film, baseDensity: 0.2, inLights: [] }));
    expect(store.tests.list({ filmId: film.id }).tests[0]!.exposure.seconds).toBeCloseTo(after.exposure.seconds!, 9);
  });
});
