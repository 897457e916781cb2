// Heights of what stands round a frame as twelve fields of a form, clockwise from true north, 30° apart.
import { horizonHeightDegrees } from "#shared/sun/sky/horizon.ts";
import { numberOf, textOf, type FormValues } from "#src/web/parts/form-values.ts";

const spacingDegrees = 30;
const names = ["north", "30", "60", "east", "120", "150", "south", "210", "240", "west", "300", "330"] as const;

const fieldsNamed = (prefix: string): string[] => names.map((_, i) => `${prefix}${i * spacingDegrees}`);
const bearingsOf = (fields: readonly string[]) => fields.map((name, i) => ({ name, label: names[i] ?? "" }));

/** Fields of the sun page. */
export const horizonFields = fieldsNamed("horizon");
/** Fields of a test's sun conditions. */
export const sunHorizonFields = fieldsNamed("sunHorizon");

/** The sun page's fields with their bearings in words. */
export const horizonBearings = bearingsOf(horizonFields);
export const sunHorizonBearings = bearingsOf(sunHorizonFields);

/** The heights [°], empty ones on the level; undefined where none is typed. */
export function horizonFrom(values: FormValues, fields: readonly string[]): number[] | undefined {
  if (fields.every((field) => textOf(values, field) === "")) return undefined;
  return fields.map((field) => (textOf(values, field) === "" ? 0 : (numberOf(values, field) ?? Number.NaN)));
}

/** What the fields would have to hold to give this horizon again; nothing for a free one. */
export function horizonValues(horizon: readonly number[] | undefined, fields: readonly string[]): FormValues {
  if (horizon === undefined || !horizon.some((height) => height > 0)) return {};
  return Object.fromEntries(
    fields.map((field, i) => [field, String(Math.round(horizonHeightDegrees(horizon, i * spacingDegrees) * 10) / 10)]),
  );
}
