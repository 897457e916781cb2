// How long solutions keep, and which are older.
import type { Batch } from "#shared/schema/materials.ts";
import { batchKeepsUntil } from "./batches.ts";
import type { BatchExpired, KeepingWarning } from "./keeping-facts.ts";

const millisecondsPerDay = 86_400_000;

/** A separate stock solution keeps about six months. common practice, no source */
export const stockKeepsDays = 183;

/** The mixed sensitizer keeps a couple of days. common practice, no source */
const mixedKeepsDays = 2;

/**
 * Whole and part days between two instants.
 * @param from instant or date, ISO 8601
 * @param to instant or date, ISO 8601
 * @returns days, negative when `to` lies before `from`; undefined when one of them is not a date
 * @example daysBetween("2026-05-01", "2026-05-03") // 2
 */
export function daysBetween(from: string, to: string): number | undefined {
  const days = (Date.parse(to) - Date.parse(from)) / millisecondsPerDay;
  return Number.isFinite(days) ? days : undefined;
}

export interface KeepingInput {
  /** Instant at which the coating was or will be used, ISO 8601. */
  readonly usedAt: string;
  /** When the sensitizer was mixed; null when nobody said. */
  readonly mixedAt: string | null;
  /** Day until which the batch was said to keep, year-month-day; then no other rule counts for it. */
  readonly keepsUntil?: string | null;
  readonly stocks: readonly { readonly name: string; readonly madeOn: string }[];
}

/**
 * Warnings about sensitizer or stock solutions past their usual keeping time.
 * @returns none when all is fresh or nothing is known
 */
export function keepingWarnings({ usedAt, mixedAt, keepsUntil = null, stocks }: KeepingInput): KeepingWarning[] {
  const warnings: KeepingWarning[] = keepsUntil === null ? [] : pastKeeping(keepsUntil, usedAt);
  const mixedDays = mixedAt === null ? undefined : daysBetween(mixedAt, usedAt);
  if (keepsUntil === null && mixedDays !== undefined && mixedDays > mixedKeepsDays + 1)
    warnings.push({ code: "old-sensitizer", days: mixedDays });
  for (const stock of stocks) {
    const days = daysBetween(stock.madeOn, usedAt);
    if (days !== undefined && days > stockKeepsDays) warnings.push({ code: "old-stock", name: stock.name, days });
  }
  return warnings;
}

/**
 * The warning about a batch that is past the day until which it was said to keep.
 * @param batch null where none is known
 * @param usedAt instant at which it was or will be poured, ISO 8601
 * @returns none while it keeps, and where nobody said how long
 */
export function batchKeepingWarnings(
  batch: Pick<Batch, "madeOn" | "keepsDays"> | null,
  usedAt: string,
): BatchExpired[] {
  const until = batch === null ? null : batchKeepsUntil(batch);
  return until === null ? [] : pastKeeping(until, usedAt);
}

/** A bare date counts from its midnight, so a day of grace is given. */
function pastKeeping(until: string, usedAt: string): BatchExpired[] {
  const days = daysBetween(until, usedAt);
  return days !== undefined && days > 1 ? [{ code: "batch-expired", until, days }] : [];
}
