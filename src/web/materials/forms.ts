// The forms of lights, papers and fabrics, coatings and films: which fields each kind has and how they are read back.
import type { z } from "zod";
import {
  coatingInputSchema,
  filmInputSchema,
  lampInputSchema,
  supportInputSchema,
  type MaterialKind,
} from "#shared/schema/materials.ts";
import { isTicked, numberOf, textOf, type FormValues } from "#src/web/parts/form-values.ts";

interface MaterialFormField {
  readonly name: string;
  readonly label: string;
  readonly hint: string;
  readonly type: "text" | "number" | "select" | "textarea" | "date" | "checkbox";
  readonly unit?: string;
  /** Shown and typed in per cent, kept as a share 0-1. */
  readonly isShare?: boolean;
  readonly options?: readonly { readonly value: string; readonly label: string }[];
  /** Of the control in the page. */
  readonly attributes?: Readonly<Record<string, string | number | boolean>>;
}

const line = { maxlength: 120, autocomplete: "off" };
const fromZero = { min: 0 };

interface KindWords {
  /** Heading of the whole kind. */
  readonly plural: string;
  readonly one: string;
  readonly intro: string;
  readonly fields: readonly MaterialFormField[];
  readonly schema: z.ZodType;
}

const name: MaterialFormField = {
  name: "name",
  label: "Name",
  hint: "",
  type: "text",
  attributes: { ...line, required: true },
};
const notes: MaterialFormField = {
  name: "notes",
  label: "Notes",
  hint: "",
  type: "textarea",
  attributes: { maxlength: 4000, rows: 3 },
};
const archived: MaterialFormField = {
  name: "archived",
  label: "Archived: keep it for its tests, but offer it no more",
  hint: "",
  type: "checkbox",
};

export const materialKinds: readonly MaterialKind[] = ["lamps", "supports", "coatings", "films"];

export const kindWords: Readonly<Record<MaterialKind, KindWords>> = {
  lamps: {
    plural: "Lights",
    one: "light",
    intro: "UV boxes, lamps, and the sun.",
    schema: lampInputSchema,
    fields: [
      name,
      {
        name: "kind",
        label: "Kind of light",
        hint: "Decides how a change of distance is reckoned.",
        type: "select",
        options: [
          { value: "tubes", label: "bank of tubes" },
          { value: "led", label: "field of diodes" },
          { value: "panel", label: "even panel" },
          { value: "point", label: "single small lamp" },
          { value: "sun", label: "the sun" },
          { value: "shade", label: "open shade" },
          { value: "other", label: "something else" },
        ],
      },
      {
        name: "widthMm",
        label: "Width of the shining area",
        unit: "mm",
        hint: "",
        type: "number",
        attributes: fromZero,
      },
      { name: "heightMm", label: "Its length", unit: "mm", hint: "", type: "number", attributes: fromZero },
      {
        name: "distanceMm",
        label: "Usual distance to the print",
        unit: "mm",
        hint: "",
        type: "number",
        attributes: fromZero,
      },
      notes,
      archived,
    ],
  },
  supports: {
    plural: "Papers and fabrics",
    one: "paper or fabric",
    intro: "What the coating goes on.",
    schema: supportInputSchema,
    fields: [
      name,
      {
        name: "kind",
        label: "Kind",
        hint: "",
        type: "select",
        options: [
          { value: "paper", label: "paper" },
          { value: "fabric", label: "fabric" },
          { value: "other", label: "something else" },
        ],
      },
      notes,
      archived,
    ],
  },
  coatings: {
    plural: "Coatings",
    one: "coating",
    intro: "The sensitizer as mixed and applied.",
    schema: coatingInputSchema,
    fields: [
      name,
      { name: "mixedAt", label: "Mixed on", hint: "", type: "date" },
      {
        name: "targetShare",
        label: "How deep you print it, of the deepest blue that it can give",
        unit: "%",
        isShare: true,
        hint: "Empty: 90, as usual. New tests, the lookup, the box page and the lid card go by it.",
        type: "number",
        attributes: { min: 50, max: 99 },
      },
      notes,
      archived,
    ],
  },
  films: {
    plural: "Films",
    one: "film",
    intro: "The clear film of the negatives, together with the printer that prints on it.",
    schema: filmInputSchema,
    fields: [
      name,
      { name: "device", label: "Printer", hint: "", type: "text", attributes: line },
      {
        name: "baseDensity",
        label: "Density of the clear film under your light",
        hint:
          "Each 0.30 doubles the time. Clear polyester is often 0.05 to 0.20 (from memory): leave it empty when you " +
          "do not know.",
        type: "number",
        attributes: fromZero,
      },
      {
        name: "maxDensity",
        label: "Density of the densest black under your light",
        hint: "Tells whether your negatives suit the coating.",
        type: "number",
        attributes: fromZero,
      },
      notes,
      archived,
    ],
  },
};

/** A kind by the word in an address; undefined when there is none. */
export function materialKindOf(word: string): MaterialKind | undefined {
  return materialKinds.find((kind) => kind === word);
}

function numberTyped(values: FormValues, field: string, isShare: boolean): number | null {
  const typed = numberOf(values, field);
  if (typed === undefined) return null;
  return isShare ? typed / 100 : typed;
}

/** The record that a form stands for, not yet checked by its schema. */
export function materialInputFrom(kind: MaterialKind, values: FormValues): Record<string, unknown> {
  return Object.fromEntries(
    kindWords[kind].fields.map(({ name: field, type, isShare = false }) => {
      switch (type) {
        case "number":
          return [field, numberTyped(values, field, isShare)];
        case "checkbox":
          return [field, isTicked(values, field)];
        case "date":
          return [field, textOf(values, field) || null];
        default:
          return [field, textOf(values, field)];
      }
    }),
  );
}

/** A record as the form shows it. */
export function materialValuesOf(kind: MaterialKind, material: object): FormValues {
  const record = material as Readonly<Record<string, unknown>>;
  return Object.fromEntries(
    kindWords[kind].fields.map(({ name: field, type, isShare = false }) => {
      const kept = record[field];
      const value = isShare && typeof kept === "number" ? Math.round(kept * 1000) / 10 : kept;
      if (type === "checkbox") return [field, value === true ? "yes" : ""];
      return [field, value === null || value === undefined ? "" : String(value)];
    }),
  );
}
