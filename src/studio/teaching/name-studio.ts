// What the studio is called.
import type { Studio } from "#shared/schema/workshop/studio-name.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";

/** The studio's name; empty while nobody gave it one. */
export function studioOf({ store }: Pick<Tools, "store">): Studio {
  return { name: store.studioFacts.find("studio-name") ?? "" };
}

/** Gives the studio a name; an empty one takes it away. */
export function nameStudio(tools: Pick<Tools, "store">, { name }: Studio): Studio {
  forWriting(tools.store).studioFacts.set("studio-name", name);
  return studioOf(tools);
}
