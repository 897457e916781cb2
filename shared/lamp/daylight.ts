import type { Lamp } from "#shared/schema/materials.ts";

/** Whether a light is the day's: its seconds hold for one sky only, and it has neither distance nor hours. */
export function isDaylight(kind: Lamp["kind"] | undefined): kind is "sun" | "shade" {
  return kind === "sun" || kind === "shade";
}
