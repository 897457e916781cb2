// Printers of film: a thing of its own, which films name.
import { z } from "zod";
import { lineSchema, linesSchema } from "./plain-text.ts";
import { filmInkSchema } from "./negative.ts";

export const printerInputSchema = z.object({
  name: lineSchema().min(1, "give it a name").max(120, "keep the name under 120 characters"),
  notes: linesSchema().max(4000).default(""),
  /** Media setting of its driver, in the driver's own words. */
  mediaSetting: lineSchema().max(200).default(""),
  /** Dots per inch that negatives are made with. */
  dpi: z.number().min(50).max(2880).nullish(),
  /** Its inks, as written on the cartridges. */
  inks: lineSchema().max(300).default(""),
  /** What it is sent for its densest film. */
  ink: filmInkSchema.default({ red: 0, green: 0, blue: 0 }),
  archived: z.boolean().default(false),
});
export type PrinterInput = z.infer<typeof printerInputSchema>;
export type Printer = PrinterInput & { readonly id: string; readonly createdAt: string; readonly updatedAt: string };

/** POST and PATCH: the printer, and the films that are printed on it; absent leaves the films alone. */
export const printerRequestSchema = printerInputSchema.extend({
  filmIds: z.array(z.string().max(60)).max(200).optional(),
});
