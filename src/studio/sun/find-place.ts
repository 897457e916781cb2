// Where a print is exposed: a town by its name, out of a list that comes with the program, or coordinates as copied.
import { cityMapping } from "city-timezones";
import { coordinatePair, type CoordinatePair } from "#shared/format/coordinate-pair.ts";
import { writtenFixed } from "#shared/format/number.ts";
import {
  nearestPlace,
  placeLabel,
  placesNamed,
  spelledPlaces,
  type NamedPlace,
  type SpelledPlace,
} from "#shared/sun/places/named-places.ts";

/** Farther than this from every town on the list, the clock of none is taken [km]. Our judgement. */
const sameClockKm = 300;

/** A place as a form takes it. */
export interface ChosenPlace extends CoordinatePair {
  /** As it is shown, and typed again. */
  readonly label: string;
  /** IANA zone name; empty where no town is near enough to tell. */
  readonly timeZone: string;
}

let list: readonly NamedPlace[] | undefined;

/**
 * Some 7,300 towns and cities of the earth.
 * Source: CityTimezones
 */
export function gazetteer(): readonly NamedPlace[] {
  list ??= cityMapping.flatMap(({ city, province, country, lat, lng, pop, timezone, iso2, state_ansi }) =>
    // A few have no clock in the list.
    timezone
      ? [
          {
            name: city,
            region: province ?? "",
            country,
            shortNames: [iso2, state_ansi].filter((short) => typeof short === "string"),
            latitude: hundredths(lat),
            longitude: hundredths(lng),
            timeZone: timezone,
            people: Math.max(0, pop),
          },
        ]
      : [],
  );
  return list;
}

let spelled: readonly SpelledPlace[] | undefined;

/** The gazetteer, its names taken apart. */
function spelledGazetteer(): readonly SpelledPlace[] {
  spelled ??= spelledPlaces(gazetteer());
  return spelled;
}

/** A hundredth of a degree is a kilometre: closer than the sun can tell. */
function hundredths(degrees: number): number {
  return Math.round(degrees * 100) / 100;
}

/** Places that a text may mean, the likeliest first: the coordinates that it holds, or towns by name. */
export function placesFor(text: string): ChosenPlace[] {
  const pair = coordinatePair(text);
  if (pair !== null) return [placeOfPair(pair)];
  return placesNamed(spelledGazetteer(), text).map(({ place }) => chosen(place));
}

/**
 * The place that a text means: its coordinates, the town whose whole name it is, the largest of several, or the only
 * one that begins so.
 * @returns null when none or several towns may be meant
 */
export function placeFor(text: string): ChosenPlace | null {
  const pair = coordinatePair(text);
  if (pair !== null) return placeOfPair(pair);
  const found = placesNamed(spelledGazetteer(), text);
  const [first] = found;
  return first !== undefined && (first.isWhole || found.length === 1) ? chosen(first.place) : null;
}

function chosen(place: NamedPlace): ChosenPlace {
  const { latitude, longitude, timeZone } = place;
  return { label: placeLabel(place), latitude, longitude, timeZone };
}

/** Coordinates with the clock of the town that lies nearest. */
function placeOfPair(pair: CoordinatePair): ChosenPlace {
  const near = nearestPlace(gazetteer(), pair, sameClockKm);
  return {
    ...pair,
    label: `${writtenFixed(pair.latitude, 4)}, ${writtenFixed(pair.longitude, 4)}`,
    timeZone: near?.timeZone ?? "",
  };
}
