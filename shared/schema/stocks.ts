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

const whole = (what: string, least: number, most: number, usual: number) =>
  z.preprocess(
    (value) => (value === "" || value === undefined ? usual : Number(value)),
    z
      .number({ error: `${what} is a whole number from ${least} to ${most}` })
      .int(`${what} is a whole number`)
      .min(least, `${what} is at least ${least}`)
      .max(most, `${what} is at most ${most}`),
  );
const many = <T extends z.ZodType>(item: T) =>
  z.preprocess((value) => (Array.isArray(value) ? value : [value].filter((each) => each !== undefined)), z.array(item));

/** What is asked of a sheet of labels: what goes on them, and how the sheet is cut. */
export const labelsRequestSchema = z
  .object({
    /** Bottles of the shelf, coatings, prints and strips of tests, by their ids. */
    stocks: many(z.string().max(64)).pipe(z.array(z.string()).max(60)),
    coatings: many(z.string().max(64)).pipe(z.array(z.string()).max(60)),
    prints: many(z.string().max(64)).pipe(z.array(z.string()).max(60)),
    tests: many(z.string().max(64)).pipe(z.array(z.string()).max(60)),
    /** Further labels, such as of trays: a line each. */
    others: linesSchema().max(4000).default(""),
    /** Hazard words as they stand on the supplier's label, for bottles and coatings. */
    hazards: linesSchema().max(400, "keep the hazard words under 400 characters").default(""),
    /** How often each is printed. */
    copies: whole("the number of copies", 1, 20, 1),
    columns: whole("the number of columns", 1, 5, 2),
    rows: whole("the number of rows", 1, 20, 7),
    /** Places at the top of the sheet that are used up already. */
    skip: whole("the number of places to skip", 0, 99, 0),
  })
  .superRefine(({ stocks, coatings, prints, tests, others }, context) => {
    if (stocks.length + coatings.length + prints.length + tests.length > 0 || others.trim() !== "") return;
    context.addIssue({
      code: "custom",
      path: ["others"],
      message: "choose at least one bottle, coating, print or strip, or write a line",
    });
  });
export type LabelsRequest = z.infer<typeof labelsRequestSchema>;
