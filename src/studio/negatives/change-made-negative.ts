// What can still be said of a negative that was made: a name for its settings, notes, or that it is to be forgotten.
import { madeNegativePatchSchema, type MadeNegative } from "#shared/schema/negative.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";

/** @throws InputError "not-found"; ZodError when the change is not one */
export function changeMadeNegative({ store }: Pick<Tools, "store">, id: string, patch: unknown): MadeNegative {
  return forWriting(store).madeNegatives.change(id, madeNegativePatchSchema.parse(patch));
}

/** @throws InputError "not-found" */
export function forgetMadeNegative({ store }: Pick<Tools, "store">, id: string): void {
  forWriting(store).madeNegatives.remove(id);
}
