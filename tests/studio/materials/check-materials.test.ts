// What a test or print names must be there.
import { describe, expect, it } from "vitest";
import { checkMaterials } from "#src/studio/materials/check-materials.ts";
import { idOfName } from "#src/studio/materials/keep-material.ts";
import { saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

describe("checkMaterials", () => {
  it("gives the film of what is all there, and null without one", () => {
    const { store } = testApp();
    const { filmId, ...others } = saveSampleMaterials(store);
    expect(checkMaterials(store, { ...others, filmId })?.id).toBe(filmId);
    expect(checkMaterials(store, others)).toBeNull();
    expect(checkMaterials(store, { ...others, filmId: null })).toBeNull();
  });

  it.each(["lampId", "supportId", "coatingId", "filmId"])(
    "when %s is not there, names the field and the id",
    (field) => {
      const { store } = testApp();
      const materials = saveSampleMaterials(store);
      expect(() => checkMaterials(store, { ...materials, [field]: "gone" })).toThrow(
        expect.objectContaining({ field, detail: expect.stringContaining('"gone"') }),
      );
    },
  );
});

describe("idOfName", () => {
  it("finds a material by its name, whatever the case and the blanks round it", () => {
    const { store } = testApp();
    const { lampId } = saveSampleMaterials(store);
    expect(idOfName({ store }, "lamps", " bOx ")).toBe(lampId);
    expect(idOfName({ store }, "lamps", "Boxes")).toBeUndefined();
  });
});
