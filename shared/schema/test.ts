// A test: one test print with its picture and everything known about how it was made.
import { z } from "zod";
import type { Channel, Curve, ExposureAdvice } from "./curve.ts";
import { lineSchema, linesSchema } from "./plain-text.ts";
import { maxExposureSeconds, shoulderShare } from "#shared/limits.ts";
import { readingRequestSchema, shortestSeconds, type Reading, type Tablet, type Warning } from "./reading.ts";
import { sunSurroundingsShape } from "./sun/conditions.ts";
import { senderSchema } from "./workshop/studio-name.ts";

export const instantSchema = z.iso.datetime({
  offset: true,
  error: "write the time with its offset, such as 2026-05-01T14:30:00+02:00",
});

const sunConditionsSchema = z.object({
  latitude: z.number().min(-90).max(90),
  longitude: z.number().min(-180).max(180),
  startedAt: instantSchema,
  tiltDegrees: z.number().min(0).max(180).default(0),
  facingDegrees: z.number().min(0).max(360).default(0),
  ...sunSurroundingsShape,
  /**
   * IANA name of the zone that the start was written in, such as "Europe/Lisbon"; lets other days be planned by the
   * same clock.
   */
  timeZone: z.string().max(60).optional(),
});
export type SunConditions = z.infer<typeof sunConditionsSchema>;

export const testMetadataSchema = z.object({
  lampId: z.string().min(1),
  supportId: z.string().min(1),
  coatingId: z.string().min(1),
  /** Batch of the coating; absent or null: not known. */
  batchId: z.string().min(1).max(64).nullish(),
  /** Absent or null: nothing but the tablet lay on the coating. */
  filmId: z.string().min(1).nullish(),
  /**
   * Whether the film already lay over or under the tablet during the test; then its base is inside the measured
   * exposure.
   */
  filmInTest: z.boolean().default(false),
  /** Whole exposure; may be absent for a timed strip, whose steps carry their own seconds. */
  exposureSeconds: z
    .number()
    .gt(0, "the time must be above 0 seconds")
    .min(shortestSeconds)
    .max(maxExposureSeconds, "no test takes more than ten days")
    .optional(),
  channel: z.enum(["red", "visual"]).default("red"),
  targetShare: z.number().min(0.5).max(0.99).default(shoulderShare),
  madeAt: instantSchema.optional(),
  name: lineSchema().max(120).default(""),
  notes: linesSchema().max(4000).default(""),
  /** Who sent it, where it came with a file of another studio. */
  from: senderSchema.nullish(),
  /** Negative of which this is the small strip in the margin: its levels are what its patches wanted. */
  negativeId: z.string().max(60).nullish(),
  lampDistanceMm: z.number().min(1).max(10_000).nullish(),
  lampHours: z.number().min(0).max(200_000).nullish(),
  sun: sunConditionsSchema.nullish(),
  humidityPercent: z.number().min(0).max(100).nullish(),
  temperatureC: z.number().min(-30).max(70).nullish(),
  oxidised: z.boolean().nullish(),
  /** First wash: plain water, or with vinegar or citric acid. */
  wash: z.enum(["plain", "acid"]).nullish(),
  /** Whether it went through a bath of peroxide. */
  peroxide: z.boolean().nullish(),
  dry: z.boolean().nullish(),
  /**
   * How uneven such coatings are along a strip, as standard deviations in share of density: from the middle to an end,
   * and the bow between. Absent: what is usual, weighed by what the strip shows.
   */
  coatingGradientShare: z.number().min(0).max(0.2).nullish(),
  coatingBowShare: z.number().min(0).max(0.2).nullish(),
  /**
   * A saved test of a second strip of the same tablet on the same sheet and in the same exposure, that lay the other
   * way round: both are read together, which cancels a straight change of the coating.
   */
  headToTailTestId: z.string().min(1).max(64).nullish(),
});
export type TestMetadata = z.infer<typeof testMetadataSchema>;

const testFieldsSchema = z.object({ ...readingRequestSchema.shape, ...testMetadataSchema.shape });

export const testRequestSchema = testFieldsSchema.refine(
  (request) => request.exposureSeconds !== undefined || request.tablet.kind === "timed",
  { path: ["exposureSeconds"], error: "say how long the test was exposed, in seconds" },
);
export type TestRequest = z.infer<typeof testRequestSchema>;

/**
 * PATCH: any part of the request; the test is read and assessed again. Check the merged whole with testRequestSchema.
 */
export const testPatchSchema = testFieldsSchema.partial();

/** A test as saved and answered. */
export interface SavedTest {
  readonly id: string;
  readonly createdAt: string;
  readonly updatedAt: string;
  /** True for the invented demo studio. */
  readonly invented: boolean;
  readonly request: TestRequest;
  /** Content hash of the picture file; served at /pictures/{id}. */
  readonly pictureId: string;
  /** Other pictures of the same print that were averaged, and the plain sheet under the same light. */
  readonly furtherPictures: { readonly photos: readonly string[]; readonly evenLight: string | null };
  readonly reading: Reading;
  readonly curve: Curve | null;
  readonly exposure: ExposureAdvice;
  readonly warnings: readonly Warning[];
  /** Version of the program that made reading and advice. */
  readonly madeBy: string;
}

/** What lists show of a test: the answer of GET /api/tests, and a page's rows. */
export interface TestSummary {
  readonly id: string;
  readonly createdAt: string;
  readonly updatedAt: string;
  readonly madeAt: string;
  readonly name: string;
  readonly invented: boolean;
  readonly lampId: string;
  readonly supportId: string;
  readonly coatingId: string;
  readonly filmId: string | null;
  readonly pictureId: string;
  readonly tabletKind: Tablet["kind"];
  readonly channel: Channel;
  readonly exposureSeconds: number | null;
  readonly exposure: Omit<
    ExposureAdvice,
    "nextTestSeconds" | "nextTests" | "nextPrint" | "budget" | "depths" | "compromise" | "reasons"
  >;
  readonly dMax: number | null;
  readonly logExposureRange: number | null;
  readonly madeBy: string;
}

/** Most rows of one list answer. */
export const maxListLimit = 1000;

/** GET /api/tests: filters and the place to go on from. */
export const testFilterSchema = z.object({
  lampId: z.string().optional(),
  supportId: z.string().optional(),
  coatingId: z.string().optional(),
  /** A film's id, or "none" for tests without a film. */
  filmId: z.string().optional(),
  verdict: z.enum(["ok", "test-too-short", "test-too-long", "reversal", "unreliable"]).optional(),
  tabletKind: z.enum(["transmission", "timed", "levels", "sheet"]).optional(),
  /** Made at or after, and before: instants with offset, or dates (UTC). */
  from: z.union([instantSchema, z.iso.date()], "write a date such as 2026-05-01").optional(),
  to: z.union([instantSchema, z.iso.date()], "write a date such as 2026-05-01").optional(),
  /** Words that each stand in the test's name, its day, its notes, or the name of a material. */
  search: z.string().trim().max(120).optional(),
  limit: z.coerce.number().int("give a whole number").min(1).max(maxListLimit).default(100),
  /** `next` of the answer before. */
  after: z.string().max(120).optional(),
});
export type TestFilter = z.infer<typeof testFilterSchema>;
