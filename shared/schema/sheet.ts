// What can be asked of a printable wedge sheet.
import { z } from "zod";

/** A number written in a query or form; an empty field counts as not given. */
export const written = (inner: z.ZodType<number, number>) =>
  z.preprocess((value) => {
    if (value === "") return undefined;
    return typeof value === "string" ? Number(value) : value;
  }, inner.optional());
const switchWords: ReadonlyMap<unknown, boolean> = new Map([
  ["true", true],
  ["1", true],
  ["on", true],
  ["false", false],
  ["0", false],
]);
const writtenSwitch = (fallback: boolean) =>
  z.preprocess(
    (value) => (value === "" || value === undefined ? fallback : (switchWords.get(value) ?? value)),
    z.boolean({ error: "say true or false" }),
  );

/** Size, film and side of every sheet. */
export const sheetPageShape = {
  /** How often each level is repeated, 1-8. */
  replicates: written(z.number({ error: "give a whole number from 1 to 8" })),
  /** Width of the whole block, 80-200 mm. */
  widthMm: written(z.number({ error: "give a width from 80 to 200 mm" })),
  paper: z.preprocess(
    (value) => (typeof value === "string" ? value.toLowerCase() : value) || "a4",
    z.enum(["a4", "letter"], { error: "the film is a4 or letter" }),
  ),
  dpi: z.preprocess(
    (value) => (value === "" || value === undefined ? 300 : Number(value)),
    z.number({ error: "give a number from 100 to 720" }).min(100, "at least 100 dpi").max(720, "at most 720 dpi"),
  ),
  /** True (usual): the printed side lies on the coating, and text reads right on the print. */
  mirror: writtenSwitch(true),
};

/** What the printer is sent for its densest film, as six hexadecimal digits; black when absent. */
const writtenInkSchema = z.preprocess(
  (value) => (value === "" ? undefined : value),
  z
    .string()
    .regex(/^#?[0-9a-f]{6}$/i, "write an ink as six hexadecimal digits, such as 00ff00")
    .optional(),
);

export const sheetRequestSchema = z.object({
  /** Count of different grey levels, 5-128. */
  levels: written(z.number({ error: "give a whole number from 5 to 128" })),
  ...sheetPageShape,
  ink: writtenInkSchema,
  /** A test whose correction the sheet is printed through, to check it. */
  testId: z.preprocess((value) => (value === "" ? undefined : value), z.string().max(64).optional()),
  /** A kept curve that the sheet is printed through instead of a test's present one. */
  curveId: z.preprocess((value) => (value === "" ? undefined : value), z.string().max(60).optional()),
  /**
   * What that correction aims at: even steps of lightness (usual) or of density. A list of points cannot be checked by
   * a sheet.
   */
  target: z.preprocess(
    (value) => value || "lightness",
    z.enum(["lightness", "density"], { error: "a check sheet is printed for lightness or density" }),
  ),
});
export type SheetRequest = z.infer<typeof sheetRequestSchema>;

/** Size of a card's paper: `a4` when nothing is said. Source: ISO 216 */
export const cardPaperSchema = z.preprocess(
  (value) => (typeof value === "string" ? value.toLowerCase() : value) || "a4",
  z.enum(["a4", "a5", "a6"], { error: "the paper is a4, a5 or a6" }),
);
export type CardPaper = z.infer<typeof cardPaperSchema>;
