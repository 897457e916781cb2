import { formatDay } from "#shared/format/instant.ts";
import type { Safety } from "#src/studio/safekeeping/keep-safe.ts";

/** What the first page and this one say about the last backup. */
export function safetyWords({ lastBackupAt, testsSince, daysSince }: Safety): string {
  const tests = `${testsSince} ${testsSince === 1 ? "test" : "tests"}`;
  if (lastBackupAt === null)
    return testsSince === 0 ? "Nothing of your own is here yet." : `${tests} here, and never saved elsewhere.`;
  const day = `Last saved on ${formatDay(lastBackupAt)}`;
  if (testsSince === 0) return `${day}; no test has been added since.`;
  return (
    `${day}, ` +
    (daysSince === 0 ? "today" : `${daysSince} ${daysSince === 1 ? "day" : "days"} ago`) +
    `; ${tests} since.`
  );
}
