import { forWriting, type Tools } from "#src/studio/tools.ts";

/** @throws InputError "not-found" */
export function forgetSunAnchor({ store }: Pick<Tools, "store">, id: string): void {
  forWriting(store).sunAnchors.remove(id);
}
