import { describe, expect, it } from "vitest";
import {
  nearestPlace,
  placeLabel,
  placesNamed,
  spelledPlaces,
  type NamedPlace,
} from "#shared/sun/places/named-places.ts";

/** Invented people; places as they are. */
function place(name: string, region: string, country: string, more: Partial<NamedPlace> = {}): NamedPlace {
  return {
    name,
    region,
    country,
    shortNames: [],
    latitude: 0,
    longitude: 0,
    timeZone: "Etc/UTC",
    people: 1000,
    ...more,
  };
}

const places = [
  place("York", "", "United Kingdom"),
  place("New York", "New York", "United States", { people: 9_000_000, shortNames: ["NY"] }),
  place("Paris", "Texas", "United States", { people: 25_000, shortNames: ["TX", "US"] }),
  place("Paris", "Île-de-France", "France", { people: 9_900_000 }),
  place("São Paulo", "São Paulo", "Brazil"),
  place("Łódź", "Łódzkie", "Poland"),
  place("Tromsø", "Troms", "Norway"),
  place("Parintins", "Amazonas", "Brazil"),
];
const labels = (text: string): string[] =>
  placesNamed(spelledPlaces(places), text).map((found) => placeLabel(found.place));

describe("placesNamed", () => {
  it("puts the place whose whole name was typed first, then the larger one", () => {
    expect(labels("york")).toEqual(["York, United Kingdom", "New York, United States"]);
    expect(labels("paris")).toEqual(["Paris, Île-de-France, France", "Paris, Texas, United States"]);
  });

  it("tells places of one name apart by region, country or their short names", () => {
    expect(labels("Paris, Texas")).toEqual(["Paris, Texas, United States"]);
    expect(labels("paris tx")).toEqual(["Paris, Texas, United States"]);
    expect(labels("paris ile france")).toEqual(["Paris, Île-de-France, France"]);
  });

  it.each([
    ["sao paulo", "São Paulo, Brazil"],
    ["lodz", "Łódź, Łódzkie, Poland"],
    ["TROMSO", "Tromsø, Troms, Norway"],
  ])("does without accents and case: %s", (text, label) => {
    expect(labels(text)).toEqual([label]);
  });

  it("finds by the first letters, and says that the name is not whole", () => {
    const found = placesNamed(spelledPlaces(places), "pari");
    expect(found.map(({ isWhole }) => isWhole)).toEqual([false, false, false]);
    expect(placesNamed(spelledPlaces(places), "paris").map(({ isWhole }) => isWhole)).toEqual([true, true]);
  });

  it("finds again what its own label names", () => {
    for (const each of places) expect(labels(placeLabel(each))[0]).toBe(placeLabel(each));
  });

  it.each(["", "  ", ",", "texas", "xyzzy"])("of %j finds nothing", (text) => {
    expect(placesNamed(spelledPlaces(places), text)).toEqual([]);
  });
});

describe("nearestPlace", () => {
  const towns = [place("A", "", "", { latitude: 10, longitude: 179.9 }), place("B", "", "", { latitude: 12 })];

  it("looks across the date line", () => {
    expect(nearestPlace(towns, { latitude: 10, longitude: -179.9 }, 300)?.name).toBe("A");
  });

  it("gives none beyond the distance", () => {
    expect(nearestPlace(towns, { latitude: -40, longitude: 90 }, 300)).toBeNull();
  });
});
