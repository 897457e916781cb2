import { forWriting, type Tools } from "./tools.ts";

/** @throws InputError "not-found" */
export function forgetSunAnchor({ store }: Pick<Tools, "store">, id: string): void {
  forWriting(store).sunAnchors.remove(id);
}
