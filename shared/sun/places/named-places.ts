// A place by the name that people give it, among many places.
import { greatCircleKm } from "#shared/sun/anchors/place-distance.ts";
import type { Place } from "#shared/sun/sky/sun-position.ts";

/** A town or city. */
export interface NamedPlace extends Place {
  readonly name: string;
  /** State, province or county; empty where the list names none. */
  readonly region: string;
  readonly country: string;
  /** Short names by which region and country go too, such as "TX" or "US". */
  readonly shortNames: readonly string[];
  /** IANA zone name. */
  readonly timeZone: string;
  /** People who live there, about; 0 when unknown. */
  readonly people: number;
}

/** Letters that no decomposition brings to plain ones. */
const plainLetters: Readonly<Record<string, string>> = {
  ß: "ss",
  æ: "ae",
  œ: "oe",
  ø: "o",
  đ: "d",
  ð: "d",
  þ: "th",
  ł: "l",
  ı: "i",
};

/** A name in lower case without accents, its words apart. */
function plainWords(text: string): string[] {
  return text
    .toLowerCase()
    .normalize("NFD")
    .replaceAll(/\p{M}/gu, "")
    .replaceAll(/[ßæœøđðþłı]/g, (letter) => plainLetters[letter] ?? letter)
    .split(/[^\p{L}\p{N}]+/u)
    .filter((word) => word !== "");
}

/** Name, region and country, as a place is shown and typed again. */
export function placeLabel({ name, region, country }: NamedPlace): string {
  return [name, region === name ? "" : region, country].filter((part) => part !== "").join(", ");
}

/** A place with the words of its name, ready to be looked for. */
export interface SpelledPlace {
  readonly place: NamedPlace;
  readonly nameWords: readonly string[];
}

/** Places made ready for `placesNamed`: thousands of names are taken apart once, not at every look. */
export function spelledPlaces(places: Iterable<NamedPlace>): SpelledPlace[] {
  return Array.from(places, (place) => ({ place, nameWords: plainWords(place.name) }));
}

export interface FoundPlace {
  readonly place: NamedPlace;
  /** Whether all of its name was typed, not only how it begins. */
  readonly isWhole: boolean;
}

/**
 * Finds places by name: each word typed begins a word of the place's name, region or country, the first one a word of
 * its name. Accents and case do not count.
 * @param places the list to look in
 * @param text such as "lyon", "sao pau" or "Paris, Texas"
 * @param most how many are given at most
 * @returns places whose whole name was typed first, then those with more people
 */
export function placesNamed(places: Iterable<SpelledPlace>, text: string, most = 8): FoundPlace[] {
  const typed = plainWords(text);
  const [first] = typed;
  if (first === undefined) return [];
  const found: (FoundPlace & { readonly rank: number })[] = [];
  for (const { place, nameWords: name } of places) {
    if (!name.some((word) => word.startsWith(first))) continue;
    const further = plainWords([place.region, place.country, ...place.shortNames].join(" "));
    if (!typed.every((word) => [...name, ...further].some((known) => known.startsWith(word)))) continue;
    const isWhole = name.every((word) => typed.includes(word));
    const isBegun = name.join(" ").startsWith(first);
    found.push({ place, isWhole, rank: (isWhole ? 0 : 2) + (isBegun ? 0 : 1) });
  }
  return found
    .sort((a, b) => a.rank - b.rank || b.place.people - a.place.people)
    .slice(0, most)
    .map(({ place, isWhole }) => ({ place, isWhole }));
}

/**
 * The place of a list that lies nearest.
 * @param withinKm none farther than this counts [km]
 * @returns null when none lies within
 */
export function nearestPlace(places: Iterable<NamedPlace>, at: Place, withinKm: number): NamedPlace | null {
  let nearest: NamedPlace | null = null;
  let leastKm = withinKm;
  for (const place of places) {
    const km = greatCircleKm(at, place);
    if (km > leastKm) continue;
    leastKm = km;
    nearest = place;
  }
  return nearest;
}
