// Step tablets of the studio: adding one, correcting what is known of it.
import { tabletInputSchema, type OwnTablet } from "#shared/schema/tablets.ts";
import { refuseIfChanged } from "#src/studio/seen-version.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";

/** @throws ZodError when the input is no tablet */
export function addTablet({ store }: Pick<Tools, "store">, input: unknown): OwnTablet {
  return forWriting(store).tablets.create(tabletInputSchema.parse(input));
}

/**
 * Changes the named fields; the others stay.
 * @param seenVersion of the tablet that the changes were made on; absent checks nothing
 * @throws InputError "not-found", "changed-meanwhile"
 * @throws ZodError when the changed whole is no tablet
 */
export function changeTablet(
  { store }: Pick<Tools, "store">,
  id: string,
  changes: Readonly<Record<string, unknown>>,
  { seenVersion }: { seenVersion?: string | undefined } = {},
): OwnTablet {
  const { tablets } = forWriting(store);
  refuseIfChanged(seenVersion, tablets.get(id), changes);
  return tablets.replace(id, tabletInputSchema.parse({ ...tablets.get(id), ...changes }));
}
