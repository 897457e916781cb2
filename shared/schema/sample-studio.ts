// The file of the invented studio, samples/studio.json: what the demo loads and what the renderer draws.
import { z } from "zod";
import { coatingInputSchema, filmInputSchema, lampInputSchema, supportInputSchema } from "./materials.ts";
import { cornersSchema, readingRequestSchema, tabletSchema } from "./reading.ts";
import { testMetadataSchema } from "./test.ts";

const withId = { id: z.string().min(1) };

const sampleTestSchema = testMetadataSchema.extend({
  /** Names the picture and the truth file in samples/pictures, and the test's identifier. */
  key: z.string().regex(/^[a-z-]+$/),
  /** One sentence for people. */
  about: z.string(),
  tablet: tabletSchema,
  exposureSeconds: z.number(),
  /** What the renderer makes the picture from. */
  seed: z.int(),
  kind: z.enum(["scan", "photo", "toned-photo", "cotton"]),
  megapixels: z.number(),
  /** How the picture was taken, where it is to be a hard one. */
  taken: z
    .object({
      /** Things lie round the print. */
      clutter: z.boolean(),
      tiltDegrees: z.number(),
      fallOffShare: z.number(),
      /** How the camera lay, as its file says. */
      orientation: z.union([z.literal(1), z.literal(3), z.literal(6), z.literal(8)]),
    })
    .optional(),
});

export const sampleStudioSchema = z.object({
  note: z.string(),
  name: z.string(),
  lamps: z.array(lampInputSchema.extend(withId)),
  supports: z.array(supportInputSchema.extend(withId)),
  coatings: z.array(coatingInputSchema.extend(withId)),
  films: z.array(filmInputSchema.extend(withId)),
  tests: z.array(sampleTestSchema),
});

/** The part of a truth file that the demo needs: where the strip lies, and the grey scale beside it. */
export const sampleTruthSchema = z.object({
  corners: cornersSchema,
  request: readingRequestSchema.pick({ reference: true }),
});

export type SampleStudio = z.infer<typeof sampleStudioSchema>;
export type SampleTest = z.infer<typeof sampleTestSchema>;
