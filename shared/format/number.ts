// Numbers as pages show them. The server and the browser use the same functions, so that a page and its live update
// never differ.
import { writingNow } from "./writing.ts";

/** Minus sign of typography, as wide as the plus. */
const minus = "\u2212";

/**
 * A number with a fixed count of decimals, a true minus sign and the reader's decimal sign.
 * @param value any finite number
 * @param decimals digits after the point
 * @throws RangeError when not finite
 */
export function formatFixed(value: number, decimals: number): string {
  if (!Number.isFinite(value)) throw new RangeError(`Cannot show ${value}.`);
  const text = Math.abs(value).toFixed(decimals);
  const signed = value < 0 && Number(text) !== 0 ? minus + text : text;
  return withDecimalSign(signed);
}

/**
 * A number's text with the reader's decimal sign in the place of its point.
 * @param text one number as JavaScript writes it: "4.5"
 */
export function withDecimalSign(text: string): string {
  return writingNow().decimals === "comma" ? text.replace(".", ",") : text;
}

/**
 * A number with a fixed count of decimals as machines read it, with a hyphen for minus: in drawings, files and fields.
 * @param value any number
 * @param decimals digits after the point
 */
export function writtenFixed(value: number, decimals: number): string {
  return value.toFixed(decimals);
}

/**
 * A number rounded to so many decimals, as answers carry it.
 * @param value any number
 * @param decimals digits after the point that are kept
 */
export function roundedTo(value: number, decimals: number): number {
  return Number(value.toFixed(decimals));
}

/**
 * A number rounded to so many figures that count, without noughts that say nothing: 4 of 0.0123456 give "0.01235".
 * @param value any finite number
 * @param figures figures kept, 1 to 21
 */
export function writtenFigures(value: number, figures: number): string {
  return String(Number(value.toPrecision(figures)));
}

/** A density with two decimals: "1.37". */
export function formatDensity(density: number): string {
  return formatFixed(density, 2);
}

/** A lightness L* with one decimal: "54.2". */
export function formatLightness(lightness: number): string {
  return formatFixed(lightness, 1);
}

/** log H or a log exposure range with two decimals: "2.31". */
export function formatLogH(logH: number): string {
  return formatFixed(logH, 2);
}

/** A difference of exposure in stops, to a tenth, with its sign: "+0.4 stop". */
export function formatStops(stops: number): string {
  const text = formatFixed(stops, 1);
  const sign = stops > 0 && Number(stops.toFixed(1)) !== 0 ? "+" : "";
  return `${sign}${text} ${Math.abs(stops) > 1.05 ? "stops" : "stop"}`;
}

/** A share 0-1 as whole percent: "90 %". */
export function formatShare(share: number): string {
  return `${formatFixed(share * 100, 0)} %`;
}
