import { describe, expect, it } from "vitest";
import type { Reading } from "#shared/schema/reading.ts";
import { assessWithMaterials } from "#src/studio/assess-saved.ts";
import { sampleReading, sampleRequest, saveSampleMaterials } from "../support/sample-records.ts";
import { testApp } from "../support/test-app.ts";

describe("assessWithMaterials", () => {
  const found: Reading = { ...sampleReading(), location: { ...sampleReading().location, method: "found", confidence: 0.99 } };
  const codes = (kind: "paper" | "fabric", reading = found): string[] => {
    const { store } = testApp();
    const materials = saveSampleMaterials(store);
    const support = store.supports.create({ name: "Sheet", notes: "", kind, archived: false });
    return assessWithMaterials(store, sampleRequest({ ...materials, supportId: support.id }), reading).warnings.map(({ code }) => code);
  };

  it("when a strip was found by itself on fabric, asks to look at its place", () => {
    expect(codes("fabric")).toContain("location-uncertain");
  });

  it("when it lies on paper, or its corners were given, does not", () => {
    expect(codes("paper")).not.toContain("location-uncertain");
    expect(codes("fabric", sampleReading())).not.toContain("location-uncertain");
  });
});
