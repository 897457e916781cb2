// What an instrument measured on the steps of a print: a densitometer's or spectrophotometer's numbers as text.
import { z } from "zod";
import { lineSchema, linesSchema } from "#shared/schema/plain-text.ts";

const measuredTextSchema = linesSchema()
  .max(250_000, "this is longer than any list of steps")
  .regex(/\d/, "paste the instrument's numbers, one line for each step");

export const instrumentSchema = z.object({
  /** A CGATS.17 file's text, or plain numbers: one line for each step in tablet order, bare paper before or after. */
  text: measuredTextSchema,
  /** What plain numbers are, and which of a file's quantities to use; absent: what the file has. */
  quantity: z.enum(["red-density", "visual-density", "lab", "xyz", "spectra"]).optional(),
  /** What the instrument's own scale of density is called, such as "status T"; shown, never reckoned with. */
  scaleName: lineSchema().max(60).optional(),
  /** Standard uncertainty of one measurement (density). */
  sigmaDensity: z.number().min(0.0005).max(0.2).default(0.01),
  /** Set by the program: the picture was drawn from these numbers, nobody took it. */
  isDrawn: z.boolean().optional(),
});
export type InstrumentRequest = z.infer<typeof instrumentSchema>;
export type InstrumentQuantity = NonNullable<InstrumentRequest["quantity"]>;

/** What a reading says of the instrument that made it. */
export interface InstrumentTerm {
  readonly quantity: InstrumentQuantity;
  /**
   * What `red` is: `linear-srgb` as computed from measured colours, `red-filter` as a densitometer's own red filter
   * sees it, `none` where only visual density was measured (then `red` repeats it).
   */
  readonly redScale: "linear-srgb" | "red-filter" | "none";
  /** False where visual density was not measured; `visual` then repeats `red`. */
  readonly visualMeasured: boolean;
  /** The instrument's own name of its scale, or null. */
  readonly scaleName: string | null;
  readonly sigmaDensity: number;
  /** The same print read from its picture, step by step; null where the picture was drawn. */
  readonly camera: {
    readonly red: readonly number[];
    /** Camera minus instrument: root mean square, and the largest with its step. */
    readonly rmsDensity: number;
    readonly worstDensity: number;
    readonly worstStep: number;
    /** Camera's density for each density of the instrument, by least squares through paper white. */
    readonly ratio: number;
  } | null;
}
