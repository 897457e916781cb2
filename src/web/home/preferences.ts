// How someone wants the pages to look, kept in a cookie so that it works without script and without a flash of the
// wrong colours.
import { localPath } from "#src/web/parts/local-path.ts";
import { isTheme, themeCookie } from "#src/web/parts/theme.ts";
import express, { Router, type Request, type Response } from "express";

const oneYearMs = 365 * 24 * 3600 * 1000;

export function preferencesRoutes(): Router {
  const router = Router();
  router.post(
    "/preferences",
    express.urlencoded({ extended: false, limit: "10kb" }),
    (request: Request, response: Response) => {
      const body: unknown = request.body;
      const { theme, back } = (typeof body === "object" && body !== null ? body : {}) as {
        theme?: unknown;
        back?: unknown;
      };
      if (isTheme(theme))
        response.cookie(themeCookie, theme, { maxAge: oneYearMs, sameSite: "lax", httpOnly: false, path: "/" });
      response.redirect(303, localPath(back));
    },
  );
  return router;
}
