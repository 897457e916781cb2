// A cloth, and what a print on it takes: its size before the wash, metres, sensitizer and money.
import { z } from "zod";
import { numberOrNull } from "#shared/schema/answers/common.ts";
import { lineSchema } from "#shared/schema/plain-text.ts";
import { plainWarningSchema } from "./plain-warning.ts";

const shrinkageSchema = z.object({
  /** Loss of length in the wash, of the length before; below 0 where it grows. */
  percent: z.number().min(-30, "cloth grows by less than 30 %").max(60, "cloth shrinks by less than 60 %"),
  /** Standard uncertainty of the next piece [percentage points]. */
  sigmaPercent: z.number().min(0).max(30),
});

export const clothSchema = z.object({
  fibre: lineSchema().max(120).default(""),
  gramsPerM2: z.number().min(1).max(5000).nullish(),
  /** How it was washed clean of size and oil before coating. */
  scour: lineSchema().max(200).default(""),
  isPreShrunk: z.boolean().default(false),
  /** Along the warp, and across it. */
  shrinkAlong: shrinkageSchema.nullish(),
  shrinkAcross: shrinkageSchema.nullish(),
  /** Usable width between the selvedges. */
  widthMm: z.number().min(10).max(10_000).nullish(),
  /** In the studio's own money. */
  pricePerMetre: z.number().min(0).max(1e6).nullish(),
});
export type Cloth = z.infer<typeof clothSchema>;

/** Marks on a cloth, measured before and after the wash. */
export const shrinkageRequestSchema = z.object({
  beforeMm: z.number().min(10, "lay the marks 10 mm apart or more").max(10_000),
  alongMm: z.array(z.number().gt(0).max(10_000)).max(50).default([]),
  acrossMm: z.array(z.number().gt(0).max(10_000)).max(50).default([]),
});
export type ShrinkageRequest = z.infer<typeof shrinkageRequestSchema>;

export const clothPlanQuerySchema = z.object({
  /** Wanted after the wash, across the cloth and along it. */
  finishedWidthMm: z.coerce.number("give the finished width").min(5).max(10_000),
  finishedHeightMm: z.coerce.number("give the finished height").min(5).max(100_000),
  /** Cloth left round the print for hem and hand, each side. */
  allowanceMm: z.coerce.number().min(0).max(1000).default(20),
  pieces: z.coerce.number().int("give a whole number of pieces").min(1).max(10_000).default(1),
  /** Of a pattern that goes on along the cloth, after the wash. */
  repeatMm: z.coerce.number().min(5).max(100_000).optional(),
  /** Of the mixed sensitizer, in the studio's own money. */
  pricePerMl: z.coerce.number().min(0).max(1e6).optional(),
});
export type ClothPlanQuery = z.infer<typeof clothPlanQuerySchema>;

const sizeSchema = z.object({ mm: z.number(), lowerFinishedMm: z.number(), upperFinishedMm: z.number() });

export const clothPlanSchema = z.object({
  supportId: z.string(),
  /** Size of the print before the wash, and what then comes out of it, 95 times in a hundred. */
  print: z.object({ across: sizeSchema, along: sizeSchema }),
  cut: z.object({ widthMm: z.number(), lengthMm: z.number() }),
  /** How far the edge of a second layer, printed after a wash, may miss the first. */
  registerMissMm: z.object({ across: z.number(), along: z.number() }),
  /** Size of a second layer's negative over the first's. */
  secondLayerScale: z.object({ across: z.number(), along: z.number() }),
  yardage: z.object({ across: z.int(), rows: z.int(), lengthMm: z.number() }).nullable(),
  repeat: z.object({ mm: z.number(), perMetre: z.number() }).nullable(),
  /** From the studio's own prints on this cloth. */
  coating: z
    .object({
      prints: z.int(),
      mlPerM2: z.number(),
      lowerMlPerM2: z.number(),
      upperMlPerM2: z.number(),
      mlPerMetre: numberOrNull,
      mlPerPrint: z.number(),
      mlForAll: z.number(),
    })
    .nullable(),
  cost: z.object({
    clothPerPrint: numberOrNull,
    coatingPerPrint: numberOrNull,
    perPrint: numberOrNull,
    /** Cloth and the sensitizer that covers its whole width. */
    perMetre: numberOrNull,
    forAll: numberOrNull,
  }),
  warnings: z.array(plainWarningSchema),
});
export type ClothPlan = z.infer<typeof clothPlanSchema>;
