// Records that leave the house as tables, and the log of a year.
import { z } from "zod";

export const recordTables = ["tests", "steps", "prints"] as const;
export type RecordTable = (typeof recordTables)[number];

export const yearLogQuerySchema = z.object({
  year: z.coerce.number("give the year as four digits").int().min(1842, "the process is not older").max(9999),
});
