import { describe, expect, it } from "vitest";
import type { MaterialField } from "#src/web/parts/material-fields.ts";
import { tabletsToChoose } from "#src/web/tests/form-view.ts";
import { formFolds } from "#src/web/tests/summaries/form-folds.ts";

function field(name: string, changes: Partial<MaterialField> = {}): MaterialField {
  return {
    ...{ id: name, name, newName: `new-${name}`, label: name, hint: "", addLabel: "", extra: null },
    options: [
      { id: "one", name: `First ${name}`, kind: "" },
      { id: "two", name: `Second ${name}`, kind: "" },
    ],
    ...{ selected: "two", newValue: "", optional: "", error: "" },
    ...changes,
  };
}

const facts = {
  values: { tabletChoice: "even-21" },
  errors: {},
  materials: [field("light"), field("paper")],
  tablets: tabletsToChoose("even-21"),
  isAsBefore: true,
};

describe("formFolds", () => {
  it("when all is as in the last test, folds tablet and materials and says what is chosen", () => {
    expect(formFolds(facts)).toEqual({ tablet: "Film tablet, 21 steps", materials: "Second light, Second paper" });
  });

  it("when there was no test before, leaves the tablet open", () => {
    expect(formFolds({ ...facts, isAsBefore: false }).tablet).toBeNull();
  });

  it("when a strip was uncovered in steps, leaves its times to be looked at", () => {
    const tablets = tabletsToChoose("timed");
    expect(formFolds({ ...facts, tablets, values: { tabletChoice: "timed" } }).tablet).toBeNull();
  });

  it("when something of the tablet is wrong, leaves it open", () => {
    expect(formFolds({ ...facts, errors: { firstDensity: "Not a number." } }).tablet).toBeNull();
  });

  it.each([
    ["a light was not chosen", field("light", { selected: "" })],
    ["a new light is being named", field("light", { newValue: "Box Three" })],
    ["a light is wrong", field("light", { error: "It was put away." })],
  ])("when %s, leaves the materials open", (_case, light) => {
    expect(formFolds({ ...facts, materials: [light, field("paper")] }).materials).toBeNull();
  });

  it("when a film may be left out and is, folds the rest", () => {
    const film = field("film", { selected: "", optional: "No film" });
    expect(formFolds({ ...facts, materials: [field("light"), film] }).materials).toBe("Second light");
  });
});
