// The page on which several tablets are marked, and what must be right before it is shown.
import type { Response } from "express";
import { tabletSchema } from "#shared/schema/reading.ts";
import { pictureSize } from "#src/studio/tests/preview-picture.ts";
import type { Tools } from "#src/studio/tools.ts";
import { numberOf, textOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { problemFrom } from "#src/web/problem.ts";
import { tabletFrom } from "#src/web/tests/tablet-form.ts";
import { tabletCount, tabletRows, tabletsData } from "./tablet-places.ts";

/** Fields of the first form that the marking page carries along. */
const carriedNames = [
  "kind",
  "pictureId",
  "lampId",
  "bedWidthMm",
  "bedHeightMm",
  "placing",
  "tabletChoice",
  "steps",
  "increment",
  "firstDensity",
  "densities",
  "timedTimes",
  "timedSeries",
  "timedMeaning",
  "timedUnit",
] as const;

/** What is wrong with the fields of the first form, before a picture is looked at. */
export function tabletFormErrors(values: FormValues): FieldErrors {
  const tablet = tabletFrom(values);
  const errors: FieldErrors = { ...tablet.errors };
  const parsed = tabletSchema.safeParse(tablet.value);
  if (Object.keys(errors).length === 0 && !parsed.success) errors["tabletChoice"] = problemFrom(parsed.error).detail;
  for (const [name, words] of [
    ["bedWidthMm", "how wide the bed is"],
    ["bedHeightMm", "how deep the bed is"],
  ] as const) {
    const size = numberOf(values, name);
    if (size === undefined || !(size > 0)) errors[name] = `Say ${words}, in millimetres.`;
  }
  return errors;
}

/** The page on which tablets are marked. */
export async function showTablets(
  tools: Tools,
  response: Response,
  { values, problem, status }: { values: FormValues; problem: string | null; status: number },
): Promise<void> {
  const pictureId = textOf(values, "pictureId");
  const size = await pictureSize(tools, pictureId);
  const rows = tabletRows(values, size);
  const count = tabletCount(values);
  const bed = { widthMm: numberOf(values, "bedWidthMm") ?? 1, heightMm: numberOf(values, "bedHeightMm") ?? 1 };
  const tablet = tabletSchema.parse(tabletFrom(values).value);
  renderPage(
    response,
    "evenness/tablets",
    {
      title: "Where does each tablet lie?",
      here: "studio",
      scripts: ["evenness-tablets"],
      data: tabletsData(rows, { ...size, tablet, bed }),
      status,
    },
    {
      pictureId,
      ...size,
      problem,
      rows,
      bed,
      ...count,
      isOnOneSheet: textOf(values, "placing") === "sheet",
      marked: rows.some(({ key }) => key === textOf(values, "marked"))
        ? textOf(values, "marked")
        : (rows[0]?.key ?? ""),
      hidden: carriedNames.map((name) => ({ name, value: textOf(values, name) })).filter(({ value }) => value !== ""),
    },
  );
}
