import type { SunAnchor, SunAnchorInput } from "#shared/schema/sun/exposure.ts";
import { anchorFrom } from "#shared/sun/anchors/anchor.ts";
import { anchorExposureOfKept } from "#shared/sun/anchors/kept-anchor.ts";
import { cloudRange } from "#shared/sun/sky/surroundings.ts";
import { refusal } from "#shared/words/refusal-words.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";

/**
 * Keeps an exposure of known outcome as an anchor.
 *
 * @throws InputError "bad-request" when it cannot be one: overcast, in the dark, or of materials that are not there
 */
export function keepSunAnchor({ store }: Pick<Tools, "store">, input: SunAnchorInput): SunAnchor {
  if (cloudRange(input.sky ?? "clear") === null) {
    throw refusal("bad-request", { code: "anchor-overcast" }, { field: "sky" });
  }
  if (anchorFrom(input.name, anchorExposureOfKept(input)) === null) {
    throw refusal("bad-request", { code: "anchor-in-dark" }, { field: "startedAt" });
  }
  const known = { supportId: store.supports, coatingId: store.coatings, filmId: store.films };
  for (const [field, table] of Object.entries(known)) {
    const id = input[field as keyof typeof known];
    if (id !== undefined && id !== null && table.find(id) === undefined)
      throw refusal("bad-request", { code: "anchor-of-unknown", id }, { field });
  }
  return forWriting(store).sunAnchors.create(input);
}
