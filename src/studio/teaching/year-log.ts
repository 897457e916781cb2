// The log of a year: every test and print by day, with its time and how it came out.
import { formatDuration } from "#shared/format/duration.ts";
import { formatDay } from "#shared/format/instant.ts";
import { exposedSeconds } from "#shared/prints/procedure.ts";
import { outcomeShort, yearLogWords } from "#shared/words/teaching/year-log-words.ts";
import { verdictWords } from "#shared/words/tests/verdict-words.ts";
import { csvText } from "#src/output/csv.ts";
import { yearLogPdf } from "#src/output/year-log.ts";
import type { Tools } from "#src/studio/tools.ts";
import { everyPrint, everyTest } from "./every-test.ts";
import { studioOf } from "./name-studio.ts";

export interface LogEntry {
  /** ISO date. */
  readonly day: string;
  readonly kind: "test" | "print";
  readonly id: string;
  readonly name: string;
  readonly materials: readonly string[];
  /** Advised by a test, given to a print; null where there is none. */
  readonly seconds: number | null;
  readonly outcome: string;
  readonly who: string;
}

/** Everything of one year, oldest first. */
export function logOfYear({ store }: Pick<Tools, "store">, year: number): LogEntry[] {
  const [from, to] = [`${year}-01-01`, `${year + 1}-01-01`];
  const isOfYear = ({ day }: LogEntry): boolean => day >= from && day < to;
  const names = (ids: { lampId: string; supportId: string; coatingId: string; filmId?: string | null | undefined }) =>
    [
      store.supports.find(ids.supportId)?.name,
      store.coatings.find(ids.coatingId)?.name,
      ids.filmId == null ? undefined : store.films.find(ids.filmId)?.name,
      store.lamps.find(ids.lampId)?.name,
    ].filter((name) => name !== undefined);
  const tests = everyTest({ store }, { from, to }).map((test): LogEntry => ({
    day: test.madeAt.slice(0, 10),
    kind: "test",
    id: test.id,
    name: test.name,
    materials: names(test),
    seconds: test.exposure.seconds,
    outcome: `${verdictWords[test.exposure.verdict].word}${test.invented ? `, ${yearLogWords.invented}` : ""}`,
    who: "",
  }));
  const prints = everyPrint({ store }).map((print): LogEntry => ({
    day: print.createdAt.slice(0, 10),
    kind: "print",
    id: print.id,
    name: print.name,
    materials: names(print),
    seconds: exposedSeconds(print.steps, print.exposureSeconds),
    outcome: print.outcome == null ? yearLogWords.unjudged : outcomeShort[print.outcome],
    who: print.printedBy,
  }));
  return [...tests, ...prints].filter(isOfYear).sort((a, b) => a.day.localeCompare(b.day));
}

/** Years in which something was made, newest first. */
export function yearsOfLog({ store }: Pick<Tools, "store">): number[] {
  const days = [
    ...everyTest({ store }).map(({ madeAt }) => madeAt),
    ...everyPrint({ store }).map(({ createdAt }) => createdAt),
  ];
  return [...new Set(days.map((day) => Number(day.slice(0, 4))))].sort((a, b) => b - a);
}

/** The log of a year as a PDF. */
export function makeYearLog({ store }: Pick<Tools, "store">, year: number, now: Date): Promise<Uint8Array> {
  const entries = logOfYear({ store }, year);
  const count = (kind: LogEntry["kind"]): number => entries.filter((entry) => entry.kind === kind).length;
  return yearLogPdf({
    title: yearLogWords.title(year, studioOf({ store }).name),
    summary: yearLogWords.summary(count("test"), count("print")),
    rows: entries.map(({ day, kind, name, materials, seconds, outcome, who }) => ({
      day: formatDay(day),
      kind,
      what: name,
      materials: materials.join(", "),
      time: seconds === null ? "" : formatDuration(seconds),
      outcome,
      who,
    })),
    footing: yearLogWords.footing(formatDay(now.toISOString())),
  });
}

/** The same as a table. */
export function yearLogCsv({ store }: Pick<Tools, "store">, year: number): string {
  return csvText(
    ["day", "kind", "id", "name", "materials", "seconds", "outcome", "printedBy"],
    logOfYear({ store }, year).map(({ day, kind, id, name, materials, seconds, outcome, who }) => [
      day,
      kind,
      id,
      name,
      materials.join(", "),
      seconds ?? "",
      outcome,
      who,
    ]),
  );
}
