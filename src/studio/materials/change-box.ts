// A new box on its way into use: begun with a name, then described.
import type { LampInput } from "#shared/schema/materials.ts";
import { refusal } from "#shared/words/refusal-words.ts";
import { addMaterial, changeMaterial, type Material } from "./keep-material.ts";
import type { Tools } from "#src/studio/tools.ts";

/** @throws InputError "bad-request" without a name */
export function beginBox(tools: Pick<Tools, "store">, name: string): Material {
  if (name.trim() === "") throw refusal("bad-request", { code: "box-without-name" }, { field: "name" });
  return addMaterial(tools, "lamps", { name });
}

/** What is said of a box when it is set up. */
export type BoxDescription = Pick<
  LampInput,
  "kind" | "widthMm" | "heightMm" | "distanceMm" | "distanceVaries" | "notes"
>;

/** @throws InputError "not-found" */
export function describeBox(
  tools: Pick<Tools, "store">,
  id: string,
  description: { readonly [Field in keyof BoxDescription]: unknown },
): Material {
  return changeMaterial(tools, { kind: "lamps", id, changes: description });
}
