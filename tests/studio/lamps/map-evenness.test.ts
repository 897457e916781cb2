// A map of a bed's light from one even exposure whose blue is reckoned from known light.
import { describe, expect, it } from "vitest";
import { evennessRequestSchema } from "#shared/schema/evenness.ts";
import { mapEvenness } from "#src/studio/lamps/map-evenness.ts";
import { fakeImaging } from "../../support/fake-imaging.ts";
import { savePicture, saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { blue, saveTablet } from "../../support/studios/saved-tablets.ts";
import { testApp } from "../../support/test-app.ts";

/** A bed of 8 by 8 places whose light falls by a stop from left to right, round the light of a middle blue. */
const bed = Array.from({ length: 64 }, (_, i) => {
  const [x, y] = [((i % 8) + 0.5) / 8, (Math.floor(i / 8) + 0.5) / 8];
  const red = blue(2.2 + (0.5 - x) * Math.log10(2));
  return { x, y, red, visual: 0.6 * red };
});

async function studio(places: readonly (typeof bed)[number][]) {
  const imaging = fakeImaging({
    "measure-field": () => ({
      places,
      lightFrom: "paper-border",
      pictureLightStops: 0.1,
      profile: { code: "untagged" },
    }),
  });
  const { store } = testApp({ imaging });
  const testId = saveTablet(store, saveSampleMaterials(store), await savePicture(store));
  const corners = [
    [0, 0],
    [800, 0],
    [800, 600],
    [0, 600],
  ];
  const request = (changes: object = {}) =>
    evennessRequestSchema.parse({ kind: "exposure", testId, corners, ...changes });
  const map = (changes: object = {}) =>
    mapEvenness({ store, imaging }, { request: request(changes), pictures: { photo: new Uint8Array(1) } });
  return { store, map };
}

describe("mapEvenness", () => {
  it("finds how far the light falls over the bed and where it is strongest, and keeps the map", async () => {
    const { store, map } = await studio(bed);
    const saved = await map();
    expect(Math.abs(saved.worstToBestStops - 1)).toBeLessThan(0.15);
    expect(saved.best.x).toBeLessThan(0.2);
    expect(saved.warnings).toEqual([]);
    expect(store.evennessMaps.get(saved.id)).toEqual(saved);
  });

  it("when some places are too pale to tell, leaves them out and says so", async () => {
    const pale = bed.map((place, i) => (i < 8 ? { ...place, red: 0.01, visual: 0.006 } : place));
    const { map } = await studio(pale);
    expect((await map()).warnings.map(({ code }) => code)).toEqual(["places-left-out"]);
  });

  it("when nearly all are, or the test has no curve, refuses", async () => {
    const { map } = await studio(bed.map((place) => ({ ...place, red: 0.01, visual: 0.006 })));
    await expect(map()).rejects.toThrow(expect.objectContaining({ code: "evenness-unknown", field: "photo" }));
    await expect(map({ testId: "nope" })).rejects.toThrow(expect.objectContaining({ field: "testId" }));
  });
});
