// Lengths as pages show them, in millimetres or in inches, and inches that were typed.
import { mmPerInch } from "#shared/units/inch.ts";
import { formatFixed } from "./number.ts";
import { writingNow } from "./writing.ts";

/** Decimals of an inch that are shown and kept: a thousandth is 0.025 mm. */
const shownInchDecimals = 2;
const typedInchDecimals = 3;

/** An inch as a number without zeros at its end: "8", "8.5", "11.69". */
function inchText(lengthMm: number): string {
  const text = formatFixed(lengthMm / mmPerInch, shownInchDecimals);
  return text.replace(/[.,]?0+$/, (zeros) => (/[.,]/.test(text) ? "" : zeros));
}

/** The reader's unit of length: "mm" or "in". */
export function lengthUnit(): string {
  return writingNow().lengths === "inches" ? "in" : "mm";
}

/**
 * A length in the reader's unit: "120 mm", "4.72 in".
 * @param lengthMm any length [mm]
 * @param decimals of a millimetre that are shown
 */
export function formatLength(lengthMm: number, decimals = 0): string {
  return `${lengthNumber(lengthMm, decimals)} ${lengthUnit()}`;
}

/** The same without its unit: where several lengths share one, or a column says it. */
export function lengthNumber(lengthMm: number, decimals = 0): string {
  return writingNow().lengths === "inches" ? inchText(lengthMm) : formatFixed(lengthMm, decimals);
}

/** Width and height in the reader's unit: "203 × 254 mm", "8 × 10 in". */
export function formatSize(widthMm: number, heightMm: number): string {
  return `${lengthNumber(widthMm)} × ${lengthNumber(heightMm)} ${lengthUnit()}`;
}

/** A field of a form that holds a length, as its reader types it. */
export interface LengthField {
  readonly name: string;
  readonly unit: string;
  readonly value: string;
  /** Bounds of the control; those that are no number stay as they are. */
  readonly attributes: Readonly<Record<string, unknown>>;
}

/**
 * A field in millimetres as the reader types it. In inches it gets a name of its own, so that a number in inches can
 * never be taken for one in millimetres: "widthMm" becomes "widthInches".
 */
export function lengthField(field: LengthField): LengthField {
  if (field.unit !== "mm" || !field.name.endsWith("Mm") || writingNow().lengths !== "inches") return field;
  const inches = (value: unknown): unknown => {
    const lengthMm = Number(String(value).replace(",", "."));
    if (String(value).trim() === "" || !Number.isFinite(lengthMm)) return value;
    return String(Number((lengthMm / mmPerInch).toFixed(typedInchDecimals)));
  };
  const bounds = Object.entries(field.attributes).map(([key, value]): [string, unknown] => [
    key,
    ["min", "max", "placeholder"].includes(key) ? inches(value) : value,
  ]);
  return {
    name: field.name.replace(/Mm$/, "Inches"),
    unit: "in",
    value: String(inches(field.value)),
    attributes: Object.fromEntries(bounds),
  };
}

/**
 * The fields of a form with every "…Inches" as the "…Mm" that it stands for; text that is no number is handed on, so
 * that it is refused by the name that the schemas know.
 */
export function withLengthsInMm<Fields extends Readonly<Record<string, string>>>(
  fields: Fields,
): Record<string, string> {
  return Object.fromEntries(
    Object.entries(fields).map(([name, value]) => {
      if (!/[a-z]Inches$/.test(name)) return [name, value];
      const typed = value.trim().replace(",", ".");
      const isNumber = /^[-+]?(\d+\.?\d*|\.\d+)$/.test(typed);
      return [name.replace(/Inches$/, "Mm"), isNumber ? String(Number((Number(typed) * mmPerInch).toFixed(3))) : value];
    }),
  );
}
