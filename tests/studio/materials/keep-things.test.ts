// The acts that keep materials, stock solutions, a box's description and its evenness, on a real store.
import { describe, expect, it } from "vitest";
import { deleteMaterial } from "#src/studio/safekeeping/bin.ts";
import { beginBox, describeBox } from "#src/studio/materials/change-box.ts";
import { forgetSunAnchor } from "#src/studio/sun/forget-sun-anchor.ts";
import { keepEvenness } from "#src/studio/lamps/keep-evenness.ts";
import { addMaterial, changeMaterial, materialOfName } from "#src/studio/materials/keep-material.ts";
import { addStock, archiveStock, changeStock } from "#src/studio/materials/keep-stock.ts";
import { saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

const studio = () => testApp();

describe("materials", () => {
  it("when one is changed, keeps what was not named", () => {
    const { store } = studio();
    const { id } = addMaterial({ store }, "films", { name: "Clear film", baseDensity: 0.08, device: "desk printer" });
    changeMaterial({ store }, { kind: "films", id, changes: { baseDensity: 0.12 } });
    expect(store.films.get(id)).toMatchObject({ name: "Clear film", baseDensity: 0.12, device: "desk printer" });
  });

  it("when a field is impossible, refuses it and changes nothing", () => {
    const { store } = studio();
    const { id } = addMaterial({ store }, "lamps", { name: "Box", distanceMm: 90 });
    expect(() => changeMaterial({ store }, { kind: "lamps", id, changes: { distanceMm: -1 } })).toThrow();
    expect(store.lamps.get(id).distanceMm).toBe(90);
  });

  it.each([
    ["lamps", "Sun in the yard", { kind: "sun" }],
    ["lamps", "Shade by the door", { kind: "shade" }],
    ["lamps", "Sunderland box", { kind: "other" }],
    ["supports", "Washed cotton", { kind: "fabric" }],
    ["supports", "Smooth rag", { kind: "paper" }],
    ["coatings", "Two parts", { archived: false }],
  ] as const)("when a name is typed in place, guesses from %s %o what it is", (kind, name, nature) => {
    const { store } = studio();
    const id = materialOfName({ store }, { kind, name });
    expect(store[kind].get(id)).toMatchObject({ name, ...nature });
  });

  it("when the name is there already, archived or in other letters, adds no second one", () => {
    const { store } = studio();
    const { id } = addMaterial({ store }, "films", { name: "Clear Film", archived: true });
    expect(materialOfName({ store }, { kind: "films", name: " clear film ", baseDensity: 0.3 })).toBe(id);
    expect(store.films.list({ archived: true })).toHaveLength(1);
  });

  it("when a test uses it, will not delete it; unused, does", () => {
    const { store } = studio();
    const { id } = addMaterial({ store }, "supports", { name: "Rag" });
    deleteMaterial({ store }, "supports", id);
    expect(store.supports.find(id)).toBeUndefined();
    expect(() => deleteMaterial({ store }, "supports", id)).toThrow(/no support/);
  });
});

describe("stock solutions", () => {
  it("when the bottle is empty, leaves the shelf and stays for its coatings", () => {
    const { store } = studio();
    const { id } = addStock({ store }, { name: "Part A", madeOn: "2026-05-01", lot: "7" });
    changeStock({ store }, id, { lot: "8" });
    archiveStock({ store }, id);
    expect(store.stocks.list()).toEqual([]);
    expect(store.stocks.get(id)).toMatchObject({ name: "Part A", lot: "8", archived: true });
    deleteMaterial({ store }, "stocks", id);
    expect(store.stocks.find(id)).toBeUndefined();
  });
});

describe("a box on its way into use", () => {
  it("when it has no name, is not begun", () => {
    const { store } = studio();
    expect(() => beginBox({ store }, "  ")).toThrow("Give the box a name");
    expect(store.lamps.list()).toEqual([]);
  });

  it("when described, keeps the description and its name", () => {
    const { store } = studio();
    const { id } = beginBox({ store }, "Box Three");
    describeBox({ store }, id, {
      kind: "tubes",
      widthMm: 600,
      heightMm: 450,
      distanceMm: 90,
      distanceVaries: false,
      notes: "",
    });
    expect(store.lamps.get(id)).toMatchObject({ name: "Box Three", kind: "tubes", distanceMm: 90 });
  });

  it("when the map is not here, keeps no evenness", () => {
    const { store } = studio();
    const { lampId } = saveSampleMaterials(store);
    expect(() => keepEvenness({ store }, { mapId: "gone", lampId })).toThrow("no longer kept");
    expect(store.lamps.get(lampId).evenness ?? null).toBeNull();
  });
});

it("when an anchor is not there, forgetting it says so", () => {
  const { store } = studio();
  expect(() => forgetSunAnchor({ store }, "gone")).toThrow("no such anchor");
});
