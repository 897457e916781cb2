// How someone wants the pages to look and to be written, kept in cookies of the device so that it works without script
// and without a flash of the wrong colours.
import express, { Router, type Request, type Response } from "express";
import { formatDay } from "#shared/format/instant.ts";
import { formatLength } from "#shared/format/length.ts";
import { formatDensity } from "#shared/format/number.ts";
import { writingFrom, writingNow, writingText } from "#shared/format/writing.ts";
import { formValuesFrom, textOf } from "#src/web/parts/form-values.ts";
import { localPath } from "#src/web/parts/local-path.ts";
import { writingCookie, writingOf } from "#src/web/parts/own-writing.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { isTheme, themeCookie } from "#src/web/parts/theme.ts";

const oneYearMs = 365 * 24 * 3600 * 1000;
const kept = { maxAge: oneYearMs, sameSite: "lax", httpOnly: false, path: "/" } as const;

/** Names of the form's fields, one for each part of a writing. */
const writingFields = ["lengths", "decimals", "days"] as const;

const choices = [
  {
    name: "lengths",
    label: "Lengths",
    options: [
      { value: "mm", label: "millimetres: 120 mm" },
      { value: "inches", label: "inches: 4.72 in" },
    ],
  },
  {
    name: "decimals",
    label: "Decimal sign",
    options: [
      { value: "point", label: "point: 1.37" },
      { value: "comma", label: "comma: 1,37" },
    ],
  },
  {
    name: "days",
    label: "Dates",
    options: [
      { value: "words", label: "in words: 1 May 2026" },
      { value: "day-month-year", label: "day first: 01/05/2026" },
      { value: "month-day-year", label: "month first: 05/01/2026" },
      { value: "iso", label: "year first, ISO 8601: 2026-05-01" },
    ],
  },
] as const;

/** A day whose order cannot be mistaken, a length and a density, as they will be written. */
const example = { day: "2026-05-31", lengthMm: 203.2, density: 1.37 };

export function preferencesRoutes(): Router {
  const router = Router();
  router.get("/preferences", (request: Request, response: Response) => {
    renderPage(
      response,
      "preferences",
      { title: "Inches, decimals, dates", here: "preferences" },
      {
        choices,
        values: writingNow(),
        isSaved: textOf(formValuesFrom(request.query), "saved") !== "",
        example: [
          formatDay(example.day),
          formatLength(example.lengthMm),
          `density ${formatDensity(example.density)}`,
        ].join(" · "),
      },
    );
  });
  router.post(
    "/preferences",
    express.urlencoded({ extended: false, limit: "10kb" }),
    (request: Request, response: Response) => {
      const values = formValuesFrom(request.body);
      const theme = values["theme"];
      if (isTheme(theme)) response.cookie(themeCookie, theme, kept);
      if (writingFields.some((name) => values[name] !== undefined)) {
        const before = writingOf(request);
        const asked = writingFields.map((name) => textOf(values, name) || before[name]).join(".");
        response.cookie(writingCookie, writingText(writingFrom(asked)), kept);
      }
      response.redirect(303, localPath(values["back"]));
    },
  );
  return router;
}
