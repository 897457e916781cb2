// Step tablets of the studio: adding one, correcting what is known of it.
import { tabletInputSchema, type OwnTablet } from "#shared/schema/tablets.ts";
import { refuseIfChanged } from "#src/studio/seen-version.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";
import { changeWithTests } from "./follow-tablet.ts";

/** @throws ZodError when the input is no tablet */
export function addTablet({ store }: Pick<Tools, "store">, input: unknown): OwnTablet {
  return forWriting(store).tablets.create(tabletInputSchema.parse(input));
}

/**
 * Changes the named fields; the others stay. The tests made with it follow.
 * @param seenVersion of the tablet that the changes were made on; absent checks nothing
 * @throws InputError "not-found", "changed-meanwhile"
 * @throws ZodError when the changed whole is no tablet
 */
export async function changeTablet(
  tools: Pick<Tools, "store" | "assessThread">,
  id: string,
  changes: Readonly<Record<string, unknown>>,
  { seenVersion }: { seenVersion?: string | undefined } = {},
): Promise<OwnTablet> {
  const before = tools.store.tablets.get(id);
  refuseIfChanged(seenVersion, before, changes);
  return (await changeWithTests(tools, id, tabletInputSchema.parse({ ...before, ...changes }))).tablet;
}
