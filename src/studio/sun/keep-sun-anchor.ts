import { InputError } from "#shared/errors.ts";
import type { SunAnchor, SunAnchorInput } from "#shared/schema/sun.ts";
import { anchorFrom } from "#shared/sun/anchor.ts";
import { anchorExposureOfKept } from "#shared/sun/kept-anchor.ts";
import { cloudRange } from "#shared/sun/surroundings.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";

/**
 * Keeps an exposure of known outcome as an anchor.
 *
 * @throws InputError "bad-request" when it cannot be one: overcast, in the dark, or of materials that are not there
 */
export function keepSunAnchor({ store }: Pick<Tools, "store">, input: SunAnchorInput): SunAnchor {
  if (cloudRange(input.sky ?? "clear") === null) {
    throw new InputError(
      "bad-request",
      "A print made under an overcast sky cannot be an anchor: nobody knows how strong that light was. Keep one made in the sun.",
      { field: "sky" },
    );
  }
  if (anchorFrom(input.name, anchorExposureOfKept(input)) === null) {
    throw new InputError(
      "bad-request",
      "By its place and time this print stood in the dark or turned from the sun. Check the date, the offset of the time, east and west, and the tilt.",
      { field: "startedAt" },
    );
  }
  const known = { supportId: store.supports, coatingId: store.coatings, filmId: store.films };
  for (const [field, table] of Object.entries(known)) {
    const id = input[field as keyof typeof known];
    if (id !== undefined && id !== null && table.find(id) === undefined)
      throw new InputError(
        "bad-request",
        `There is nothing kept under "${id}": choose one from the list, or leave it out.`,
        { field },
      );
  }
  return forWriting(store).sunAnchors.create(input);
}
