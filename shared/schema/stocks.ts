// Stock solutions on the shelf, and the recipe of a coating.
import { z } from "zod";
import { lineSchema, linesSchema } from "./plain-text.ts";

const dateSchema = z.iso.date({ error: "write the date as year-month-day, such as 2026-05-01" });

export const stockInputSchema = z.object({
  name: lineSchema().min(1, "give it a name").max(120, "keep the name under 120 characters"),
  /** Day it was made. */
  madeOn: dateSchema,
  /** Grade and lot of the chemical, as on the label. */
  grade: lineSchema().max(120).default(""),
  lot: lineSchema().max(120).default(""),
  notes: linesSchema().max(4000).default(""),
  archived: z.boolean().default(false),
});
export type StockInput = z.infer<typeof stockInputSchema>;
export type Stock = StockInput & { readonly id: string; readonly createdAt: string; readonly updatedAt: string };

const recipeLineSchema = z.object({
  name: lineSchema().min(1, "name the ingredient").max(120),
  amount: z.number().gt(0, "an amount must be above 0").min(0.0001).max(1e6),
  unit: z.enum(["g", "ml", "drops"]),
});

export const recipeSchema = z.object({
  /** Volume of sensitizer that the lines make. */
  volumeMl: z.number().gt(0, "the volume must be above 0 ml").min(0.01).max(1e5),
  lines: z.array(recipeLineSchema).min(1, "a recipe needs at least one line").max(20),
});
export type Recipe = z.infer<typeof recipeSchema>;
