// The file in which calibrations travel from one studio to another: docs/reference/shared-calibrations.md.
import { z } from "zod";
import { coatingInputSchema, filmInputSchema, lampInputSchema, supportInputSchema } from "./materials.ts";
import { testRequestSchema } from "./test.ts";
import { senderSchema, type Sender } from "./workshop/studio-name.ts";

/** First fields of every such file. */
export const sharedFormat = "wedgewright-calibrations";
export const sharedFormatVersion = 1;

/** Most tests in one file. */
export const maxSharedTests = 500;

const keySchema = z.string().min(1).max(64);
const pictureKeySchema = z
  .string()
  .regex(/^[0-9a-f]{64}$/, "a picture is named by the SHA-256 of its bytes, 64 hexadecimal digits");

const sharedTestSchema = z.object({
  request: testRequestSchema,
  createdAt: z.iso.datetime({ offset: true }),
  invented: z.boolean().default(false),
  pictures: z.object({
    photos: z.array(pictureKeySchema).min(1).max(8),
    evenLight: pictureKeySchema.nullable().default(null),
  }),
});
export type SharedTest = z.infer<typeof sharedTestSchema>;

/** Materials are keyed by the ids that the tests name; pictures are base64 under the SHA-256 of their bytes. */
export const sharedCalibrationsSchema = z.object({
  format: z.literal(sharedFormat, {
    error: `this is not a file of shared calibrations: its first field must be "format": "${sharedFormat}"`,
  }),
  formatVersion: z.literal(sharedFormatVersion, {
    error: "this file was written by a newer version of Wedgewright: install that version first",
  }),
  madeBy: z.string().max(40).default(""),
  /** Who sent it; stays on what is brought in. */
  from: senderSchema.nullish(),
  lamps: z.record(keySchema, lampInputSchema),
  supports: z.record(keySchema, supportInputSchema),
  coatings: z.record(keySchema, coatingInputSchema),
  films: z.record(keySchema, filmInputSchema),
  tests: z
    .array(sharedTestSchema)
    .min(1, "the file holds no test")
    .max(maxSharedTests, `a file holds at most ${maxSharedTests} tests`),
  pictures: z.record(pictureKeySchema, z.base64()),
});
export type SharedCalibrations = z.infer<typeof sharedCalibrationsSchema>;

/** What became of one test of an imported file. */
export interface ImportedTest {
  readonly outcome: "added" | "already-here" | "refused";
  /** Its id here; null when it was refused. */
  readonly id: string | null;
  readonly name: string;
  /** Why it was refused, in plain words; empty otherwise. */
  readonly reason: string;
}

export interface ImportAnswer {
  /** As the file says it; null where it says nothing. */
  readonly from: Sender | null;
  readonly tests: readonly ImportedTest[];
  readonly added: number;
  readonly alreadyHere: number;
  readonly refused: number;
  readonly materialsAdded: number;
}
