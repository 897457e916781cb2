// Lamps, supports, coatings and films: the four things that a calibration is kept for.
import { z } from "zod";
import { lineSchema, linesSchema } from "./plain-text.ts";
import { procedureSchema } from "./procedures.ts";
import { recipeSchema } from "./stocks.ts";
import { clothSchema } from "./workshop/cloth.ts";

const nameSchema = lineSchema().min(1, "give it a name").max(120, "keep the name under 120 characters");
const notesSchema = linesSchema().max(4000).default("");

export const lampInputSchema = z.object({
  name: nameSchema,
  notes: notesSchema,
  /** What kind of light; the sun has its own model. */
  kind: z.enum(["tubes", "led", "point", "panel", "sun", "shade", "other"]).default("other"),
  /** Size of the emitting area and usual distance, for distance changes (extended-source geometry). */
  widthMm: z.number().min(1).max(10_000).nullish(),
  heightMm: z.number().min(1).max(10_000).nullish(),
  distanceMm: z.number().min(1).max(10_000).nullish(),
  /** Tubes side by side across the width, each as long as the height; absent: taken for an even panel. */
  tubeCount: z.int("give a whole number of tubes").min(1).max(200).nullish(),
  /** Whether the distance to the print can be changed. */
  distanceVaries: z.boolean().nullish(),
  /** Evenness of the bed, kept from its last map. */
  evenness: z
    .object({
      madeAt: lineSchema().max(40),
      rangeStops: z.number().min(0).max(20),
      evenShare: z.number().min(0).max(1),
      /** The map that the figures are of, where it is kept. */
      mapId: z.string().max(64).nullish(),
    })
    .nullish(),
  archived: z.boolean().default(false),
});
export const supportInputSchema = z.object({
  name: nameSchema,
  notes: notesSchema,
  kind: z.enum(["paper", "fabric", "other"]).default("paper"),
  /** What is known of it as cloth. */
  cloth: clothSchema.nullish(),
  archived: z.boolean().default(false),
});
/** One mixing of a coating's recipe. */
export const batchInputSchema = z.object({
  /** Day it was mixed, year-month-day. */
  madeOn: z.iso.date("give the day of mixing, such as 2026-05-01"),
  lot: lineSchema().max(120).default(""),
  grade: lineSchema().max(120).default(""),
  /** Bottles that it was mixed from. */
  stockIds: z.array(z.string().min(1).max(64)).max(10).default([]),
  /** Who mixed it. */
  by: lineSchema().max(120).default(""),
  /** Days that it keeps from then on. */
  keepsDays: z.int("give whole days").min(0).max(3650).nullish(),
  notes: linesSchema().max(1000).default(""),
  /** It is offered no more. */
  isUsedUp: z.boolean().default(false),
});
const batchSchema = batchInputSchema.extend({ id: z.string().min(1).max(64) });
export type Batch = z.infer<typeof batchSchema>;

export const coatingInputSchema = z.object({
  name: nameSchema,
  notes: notesSchema,
  /** Instant or date when it was mixed. */
  mixedAt: lineSchema().max(40).nullish(),
  /** Grade and lot of the iron salt, as on the label: batches differ, so a new lot wants a new test. */
  grade: lineSchema().max(120).nullish(),
  lot: lineSchema().max(120).nullish(),
  recipe: recipeSchema.nullish(),
  /** Stock solutions that it was mixed from. */
  stockIds: z.array(z.string().min(1)).max(10).nullish(),
  /** Its mixings, in any order; the fields above are then of the newest. */
  batches: z
    .array(batchSchema)
    .max(500)
    .refine((all) => new Set(all.map(({ id }) => id)).size === all.length, "name each batch once")
    .nullish(),
  /** What its prints go through; the default procedure when absent. */
  procedure: procedureSchema.nullish(),
  /** How deep its prints shall be, as a share of net D-max; what is usual when absent. */
  targetShare: z.number().min(0.5).max(0.99).nullish(),
  archived: z.boolean().default(false),
});
/** What was measured of a film in the light of one lamp. */
const filmInLightSchema = z.object({
  lampId: z.string().min(1, "say under which light").max(64),
  baseDensity: z.number().min(0).max(3).nullish(),
  baseSigmaDensity: z.number().min(0).max(0.5).nullish(),
  maxDensity: z.number().min(0).max(6).nullish(),
  /** Day or instant. */
  measuredAt: lineSchema().max(40).nullish(),
});
export type FilmInLight = z.infer<typeof filmInLightSchema>;

export const filmInputSchema = z.object({
  name: nameSchema,
  notes: notesSchema,
  /** Density of the clear film under the lamp's light; 0 when nothing is known is wrong, so it may be absent. */
  baseDensity: z.number().min(0).max(3).nullish(),
  /** Standard uncertainty of that density, where it was measured; what is usual when absent. */
  baseSigmaDensity: z.number().min(0).max(0.5).nullish(),
  /** Density of the densest black that the device prints on it, under the lamp's light. */
  maxDensity: z.number().min(0).max(6).nullish(),
  /** The same in the light of single lamps, each once; for a lamp not named the numbers above hold, less surely. */
  inLights: z
    .array(filmInLightSchema)
    .max(200)
    .refine((all) => new Set(all.map(({ lampId }) => lampId)).size === all.length, "name each light once")
    .nullish(),
  /** The printer that makes the negative. */
  device: lineSchema().max(120).default(""),
  /** That printer's own record; its name comes before `device`. */
  printerId: lineSchema().max(60).nullish(),
  archived: z.boolean().default(false),
});

export type LampInput = z.infer<typeof lampInputSchema>;
export type SupportInput = z.infer<typeof supportInputSchema>;
export type CoatingInput = z.infer<typeof coatingInputSchema>;
export type FilmInput = z.infer<typeof filmInputSchema>;

interface Stored {
  readonly id: string;
  readonly createdAt: string;
  /** When it was last changed: its version. */
  readonly updatedAt: string;
}
export type Lamp = LampInput & Stored;
export type Support = SupportInput & Stored;
export type Coating = CoatingInput & Stored;
export type Film = FilmInput & Stored;
export type MaterialKind = "lamps" | "supports" | "coatings" | "films";
