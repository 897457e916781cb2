// Stock solutions on the shelf: mixing one, correcting its label, emptying the bottle.
import { stockInputSchema, type Stock } from "#shared/schema/stocks.ts";
import { refuseIfChanged } from "#src/studio/seen-version.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";

/** @throws ZodError when the input is no stock solution */
export function addStock({ store }: Pick<Tools, "store">, input: unknown): Stock {
  return forWriting(store).stocks.create(stockInputSchema.parse(input));
}

/**
 * Changes the named fields; the others stay.
 * @param seenVersion of the stock solution that the changes were made on; absent checks nothing
 * @throws InputError "not-found", "changed-meanwhile"
 * @throws ZodError when the changed whole is no stock solution
 */
export function changeStock(
  { store }: Pick<Tools, "store">,
  id: string,
  changes: Readonly<Record<string, unknown>>,
  { seenVersion }: { seenVersion?: string | undefined } = {},
): Stock {
  const { stocks } = forWriting(store);
  refuseIfChanged(seenVersion, stocks.get(id), changes);
  return stocks.replace(id, stockInputSchema.parse({ ...stocks.get(id), ...changes }));
}

/** Takes an empty bottle off the shelf; coatings mixed from it keep it. @throws InputError "not-found" */
export function archiveStock(tools: Pick<Tools, "store">, id: string): Stock {
  return changeStock(tools, id, { archived: true });
}
