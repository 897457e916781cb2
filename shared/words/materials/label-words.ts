// What stands on the labels of bottles, coatings, prints and strips.
import { formatDuration } from "#shared/format/duration.ts";
import { formatDay } from "#shared/format/instant.ts";
import type { Coating } from "#shared/schema/materials.ts";
import type { SavedPrint } from "#shared/schema/prints.ts";
import type { Stock } from "#shared/schema/stocks.ts";

const gradeAndLot = (grade: string, lot: string): string[] =>
  [grade === "" ? "" : `grade ${grade}`, lot === "" ? "" : `lot ${lot}`].filter((part) => part !== "");

/** Day, grade and lot of a stock solution. */
export function stockLabelLines({ madeOn, grade, lot }: Pick<Stock, "madeOn" | "grade" | "lot">): string[] {
  return [`made on ${formatDay(madeOn)}`, gradeAndLot(grade, lot).join(", ")].filter((line) => line !== "");
}

/** Day, volume, grade and lot of a mixed sensitizer. */
export function coatingLabelLines({
  mixedAt,
  recipe,
  grade,
  lot,
}: Pick<Coating, "mixedAt" | "recipe" | "grade" | "lot">): string[] {
  const day = mixedAt ? `mixed on ${formatDay(mixedAt)}` : "mixed on ______________";
  return [
    recipe ? `${day}, ${recipe.volumeMl} ml` : day,
    gradeAndLot(grade ?? "", lot ?? "").join(", "),
    "keep dark",
  ].filter((line) => line !== "");
}

/** A print's name, or its day where it has none. */
export function printLabelTitle({ name, createdAt }: Pick<SavedPrint, "name" | "createdAt">): string {
  return name || `Print of ${formatDay(createdAt)}`;
}

/** A test's name, or its day where it has none. */
export function stripLabelTitle(name: string, madeAt: string): string {
  return name || `Test of ${formatDay(madeAt)}`;
}

/** What a strip was made of, under what and how long, and lines for washes and light. */
export function stripLabelLines(
  { exposureSeconds, madeAt }: { readonly exposureSeconds: number | null; readonly madeAt: string },
  { support, coating, lamp }: { support: string; coating: string; lamp: string },
): string[] {
  const time = exposureSeconds === null ? "" : formatDuration(exposureSeconds);
  return [
    [support, coating].filter((part) => part !== "").join(", "),
    `${[lamp, time].filter((part) => part !== "").join(", ")} · ${formatDay(madeAt)}`,
    "washed ____ times   in light since ____________",
  ];
}

/** Materials, time and day of a print, and a line for a signature. */
export function printLabelLines(
  { exposureSeconds, createdAt }: Pick<SavedPrint, "exposureSeconds" | "createdAt">,
  { support, coating, lamp }: { support: string; coating: string; lamp: string },
): string[] {
  return [
    [support, coating].filter((part) => part !== "").join(", "),
    `${[lamp, formatDuration(exposureSeconds)].filter((part) => part !== "").join(", ")} · ${formatDay(createdAt)}`,
    "number ____ of ____   signed ________________",
  ];
}
