// Latitudes and longitudes as people write them.

/** Letters of the half of the earth, and the sign that they stand for. */
const signs: Readonly<Record<string, number>> = { n: 1, e: 1, s: -1, w: -1 };

/**
 * A latitude or longitude in degrees: decimal ("48.85", "48,85"), or degrees, minutes and perhaps seconds ("48 51.4",
 * "48° 51' 24\""), with a sign or a letter for the half of the earth ("33° 52' S", "W 9.14").
 * @returns north and east positive [°]; undefined when empty, NaN when it cannot be read
 */
export function parseCoordinate(text: string): number | undefined {
  const trimmed = text.trim();
  if (trimmed === "") return undefined;
  const match = /^([NSEW])?([^A-Z]*?)([NSEW])?$/i.exec(trimmed);
  if (match === null) return Number.NaN;
  const [, before = "", number = "", after = ""] = match;
  if (before !== "" && after !== "") return Number.NaN;
  const half = (before || after).toLowerCase();
  const isNegative = /^\s*[-−]/.test(number);
  if (isNegative && half !== "") return Number.NaN;
  return (isNegative ? -1 : (signs[half] ?? 1)) * angleDegrees(number.replace(/^\s*[-−+]/, ""));
}

/** Degrees, minutes and seconds without a sign, as degrees; NaN when they are none. */
function angleDegrees(number: string): number {
  const parts = number
    .replaceAll(",", ".")
    .split(/[\s°º'′’"″”]+/)
    .filter((part) => part !== "");
  if (parts.length < 1 || parts.length > 3 || parts.some((part) => !/^\d+(\.\d*)?$/.test(part))) return Number.NaN;
  const [degrees = 0, minutes = 0, seconds = 0] = parts.map(Number);
  // Only the last part may have decimals; minutes and seconds run to 59.
  if (parts.slice(0, -1).some((part) => part.includes(".")) || minutes >= 60 || seconds >= 60) return Number.NaN;
  return degrees + minutes / 60 + seconds / 3600;
}
