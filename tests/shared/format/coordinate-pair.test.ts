import { describe, expect, it } from "vitest";
import { coordinatePair } from "#shared/format/coordinate-pair.ts";

describe("coordinatePair", () => {
  it.each([
    ["40.4, -3.7", 40.4, -3.7],
    ["40.4,-3.7", 40.4, -3.7],
    ["40.4 -3.7", 40.4, -3.7],
    ["40,4; -3,7", 40.4, -3.7],
    ["40,4, -3,7", 40.4, -3.7],
    ["−33.87, 151.21", -33.87, 151.21],
    ["48° 51' 24\" N, 2° 21' 3\" E", 48 + 51 / 60 + 24 / 3600, 2 + 21 / 60 + 3 / 3600],
    ["48°51'24\"N 2°21'3\"E", 48 + 51 / 60 + 24 / 3600, 2 + 21 / 60 + 3 / 3600],
    ["34° 36' S 58° 23' W", -34.6, -(58 + 23 / 60)],
    ["N 48.85, E 2.35", 48.85, 2.35],
    ["40.4168° N, 3.7038° W", 40.4168, -3.7038],
    // RFC 5870, the examples of clauses 1 and 6.1.
    ["geo:13.4125,103.8667", 13.4125, 103.8667],
    ["geo:48.2010,16.3695,183", 48.201, 16.3695],
    ["geo:48.198634,16.371648;crs=wgs84;u=40", 48.198634, 16.371648],
    ["https://maps.example/@48.8566,2.3522,15z", 48.8566, 2.3522],
    ["https://maps.example/place/A+town/@48.80,2.30,15z/data=!3d48.8566!4d2.3522", 48.8566, 2.3522],
    ["https://maps.example/?mlat=-33.8568&mlon=151.2153#map=16/-33.85/151.20", -33.8568, 151.2153],
    ["https://maps.example/#map=12/40.4168/-3.7038", 40.4168, -3.7038],
    ["https://maps.example/?q=40.4168%2C-3.7038", 40.4168, -3.7038],
  ])("reads %s", (text, latitude, longitude) => {
    const pair = coordinatePair(text);
    expect(pair?.latitude).toBeCloseTo(latitude, 9);
    expect(pair?.longitude).toBeCloseTo(longitude, 9);
  });

  it.each([
    "",
    "Lyon",
    "48,85",
    "48.85",
    "Paris, Texas",
    "91, 10",
    "10, 181",
    "https://maps.example/abc",
    "12th Street",
  ])("does not guess at %s", (text) => {
    expect(coordinatePair(text)).toBeNull();
  });
});
