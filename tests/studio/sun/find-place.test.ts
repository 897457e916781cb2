import { describe, expect, it } from "vitest";
import { greatCircleKm } from "#shared/sun/anchors/place-distance.ts";
import { clockOfZone } from "#shared/sun/local-clock.ts";
import { gazetteer, placeFor, placesFor } from "#src/studio/sun/find-place.ts";
import { numberIn, referenceTable } from "../../support/reference-table.ts";

const cities = referenceTable("sun/cities", 76).map((row) => ({
  name: row["name"]!,
  timeZone: row["time_zone"]!,
  latitude: numberIn(row, "latitude"),
  longitude: numberIn(row, "longitude"),
}));

describe("the list of towns", () => {
  it.each(cities)("finds $name by its name where the time zone database has it", ({ name, timeZone, ...at }) => {
    const found = placeFor(name)!;
    expect(greatCircleKm(found, at)).toBeLessThan(30);
    expect(found.timeZone).toBe(timeZone);
  });

  it("holds thousands of places on the earth, each with a clock that this machine knows", () => {
    expect(gazetteer().length).toBeGreaterThan(7000);
    for (const { latitude, longitude } of gazetteer()) {
      expect(Math.abs(latitude)).toBeLessThanOrEqual(90);
      expect(Math.abs(longitude)).toBeLessThanOrEqual(180);
    }
    for (const zone of new Set(gazetteer().map(({ timeZone }) => timeZone)))
      expect(() => clockOfZone(zone)).not.toThrow();
  });
});

describe("placeFor", () => {
  it("of several towns with one name, means the largest, and the others by what tells them apart", () => {
    expect(placeFor("London")?.label).toContain("United Kingdom");
    expect(placeFor("London, Ontario")?.timeZone).toBe("America/Toronto");
  });

  it("does not guess at the beginning of several names", () => {
    expect(placeFor("spr")).toBeNull();
    expect(placesFor("spr").length).toBeGreaterThan(1);
    expect(placeFor("Nowhere at all")).toBeNull();
  });

  it("takes coordinates as they are copied, with the clock of the nearest town", () => {
    // Halfway up the Andes, out of every town.
    expect(placeFor("33° 10' S, 70° 20' W")).toEqual({
      label: "-33.1667, -70.3333",
      latitude: -(33 + 10 / 60),
      longitude: -(70 + 20 / 60),
      timeZone: "America/Santiago",
    });
  });

  it("in the middle of an ocean, takes the clock of no town", () => {
    expect(placeFor("geo:-48.8767,-123.3933")?.timeZone).toBe("");
  });
});
