// What is said about the safety of the studio's work.
import { formatDay } from "#shared/format/instant.ts";

/** When everything was last saved as one file, and what was added since. */
interface LastSaved {
  /** Instant, ISO 8601; null when it never was. */
  readonly lastBackupAt: string | null;
  readonly testsSince: number;
  readonly daysSince: number | null;
}

/** What is said about the last backup. */
export function safetyWords({ lastBackupAt, testsSince, daysSince }: LastSaved): string {
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
