// What can hurt in a step of a run sheet.
import type { Lamp } from "#shared/schema/materials.ts";
import type { RunStep } from "#shared/schema/prints.ts";
import { isLampOn } from "./burned-hours.ts";

export type StepHazard = "uv-light" | "sun" | "peroxide" | "chemicals";

/** The hazard of a light: the sun's for sun and shade, an ultraviolet lamp's for the rest. */
export function lightHazard(kind: Lamp["kind"]): "uv-light" | "sun" {
  return kind === "sun" || kind === "shade" ? "sun" : "uv-light";
}

/**
 * The hazard of a step; peroxide is known by the step's name.
 * @returns null for drying and for what has no hazard of its own
 */
export function stepHazard(step: Pick<RunStep, "kind" | "name">, light: Lamp["kind"]): StepHazard | null {
  if (isLampOn(step)) return lightHazard(light);
  if (step.kind !== "bath" && step.kind !== "wash") return null;
  return /peroxide/i.test(step.name) ? "peroxide" : "chemicals";
}
