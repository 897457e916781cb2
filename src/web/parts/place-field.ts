// The field of a place: a town's name or coordinates as copied, and what is said where nobody can tell which is meant.
import { placeFor, placesFor, type ChosenPlace } from "#src/studio/sun/find-place.ts";
import type { Asked } from "./form-values.ts";

/** Places named where several may be meant. */
const namedInTrouble = 5;

/**
 * The place that a field names.
 * @param field its name in the form, for what is wrong with it
 * @returns value: null when the field is empty or nobody can tell; `errors` says which
 */
export function placeOfField(text: string, field: string): Asked<ChosenPlace | null> {
  if (text === "") return { value: null, errors: {} };
  const value = placeFor(text);
  return { value, errors: value === null ? { [field]: troubleWith(text) } : {} };
}

function troubleWith(text: string): string {
  const may = placesFor(text).slice(0, namedInTrouble);
  if (may.length === 0)
    return (
      `No town on the list is called “${text}”. Try its English name, a larger town near it, or coordinates such as ` +
      "48.85, 2.35."
    );
  return `Several places may be meant. Write which: ${may.map(({ label }) => `“${label}”`).join(", or ")}.`;
}
