// Latitude and longitude in one text, as they are copied from a map, a message or a device.
import { parseCoordinate } from "./coordinate.ts";

/** North and east positive [°]. */
export interface CoordinatePair {
  readonly latitude: number;
  readonly longitude: number;
}

const decimals = String.raw`[-−+]?\d{1,3}\.\d{2,}`;
/** What stands between the two numbers in the address of a map. */
const between = String.raw`(?:,|;|\/|%2C|%20|\+|!4d|&m?lon=|&lng=)+`;
const inAddress = new RegExp(`(${decimals})${between}(${decimals})`, "i");
/** The pin of a map's address counts before its middle. */
const pinInAddress = new RegExp(`!3d(${decimals})!4d(${decimals})`, "i");

/** How two coordinates stand side by side, the most certain way first. */
const pairPatterns: readonly RegExp[] = [
  // 48° 51' 24" N, 2° 21' 3" E
  /^([^NSEW]+[NS])[\s,;]*([^NSEW]+[EW])$/i,
  // N 48.85, E 2.35
  /^([NS][^NSEW]+?)[\s,;]*([EW][^NSEW]+)$/i,
  // 48,85; 2,35
  /^([^;]+);([^;]+)$/,
  // 48.85, 2.35
  /^([^,]+),\s*([^,]+)$/,
  // 48.85 2.35, and with a comma for the decimals
  /^(\S+)\s+(\S+)$/,
  /^([-−+]?\d+,\d+),\s*([-−+]?\d+,\d+)$/,
];

/**
 * Latitude and longitude, in this order, from one text: two decimal numbers ("40.4, -3.7", "40,4; -3,7"), degrees with
 * minutes and seconds and the letters N, S, E, W, a geo address ("geo:48.2,16.37"), or the address of a map that holds
 * both.
 * @returns null when the text is no such pair, or lies beyond the poles or the date line
 * Source: rfc-5870 clause 3.3 (geo addresses); the rest common practice, no source
 * @example
 * coordinatePair("33° 52' S, 151° 12' E"); // { latitude: -33.86666666666667, longitude: 151.2 }
 */
export function coordinatePair(text: string): CoordinatePair | null {
  const trimmed = text.trim();
  if (/^https?:/i.test(trimmed)) return pairOf(pinInAddress.exec(trimmed) ?? inAddress.exec(trimmed));
  const geo = /^geo:(.*)$/i.exec(trimmed);
  if (geo !== null) return pairOf(/^([-+]?[\d.]+),([-+]?[\d.]+)(?:[,;?].*)?$/.exec(geo[1] ?? ""));
  // "48,85" is one number with a decimal comma, not two.
  if (!/\d/.test(trimmed) || /^[-−+]?\d+,\d+$/.test(trimmed)) return null;
  for (const pattern of pairPatterns) {
    const found = pairOf(pattern.exec(trimmed));
    if (found !== null) return found;
  }
  return null;
}

function pairOf(match: RegExpExecArray | null): CoordinatePair | null {
  if (match === null) return null;
  const [latitude, longitude] = [parseCoordinate(match[1] ?? ""), parseCoordinate(match[2] ?? "")];
  if (latitude === undefined || longitude === undefined) return null;
  return Math.abs(latitude) <= 90 && Math.abs(longitude) <= 180 ? { latitude, longitude } : null;
}
