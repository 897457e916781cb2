import { describe, expect, it } from "vitest";
import { defaultProcedure, warmUpName } from "#shared/prints/procedure.ts";
import { lightHazard, stepHazard } from "#shared/prints/step-hazard.ts";

describe("what can hurt in a step", () => {
  it("is the light in exposures and while the lamp warms up, the bath after it, nothing while it dries", () => {
    expect(defaultProcedure.map((step) => stepHazard(step, "tubes"))).toEqual([
      "uv-light",
      "chemicals",
      "peroxide",
      "chemicals",
      null,
    ]);
    expect(stepHazard({ kind: "other", name: warmUpName }, "point")).toBe("uv-light");
    expect(stepHazard({ kind: "other", name: "Lamp rests" }, "point")).toBeNull();
  });

  it("is the sun's under the sun and in the shade", () => {
    expect((["sun", "shade", "led", "other"] as const).map(lightHazard)).toEqual([
      "sun",
      "sun",
      "uv-light",
      "uv-light",
    ]);
    expect(stepHazard({ kind: "exposure", name: "Exposure" }, "sun")).toBe("sun");
  });
});
