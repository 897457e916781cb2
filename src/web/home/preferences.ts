// How someone wants the pages to look, kept in a cookie so that it works without script and without a flash of the wrong colours.
import express, { Router, type Request, type Response } from "express";

export const themes = ["auto", "light", "dark", "darkroom"] as const;
export type Theme = (typeof themes)[number];
export const themeLabels: Readonly<Record<Theme, string>> = {
  auto: "As the device",
  light: "Light",
  dark: "Dark",
  darkroom: "Darkroom red",
};

const cookieName = "theme";
const oneYearMs = 365 * 24 * 3600 * 1000;

function isTheme(value: unknown): value is Theme {
  return themes.some((theme) => theme === value);
}

/** Theme chosen in this browser; "auto" when none. */
export function themeOf(request: Request): Theme {
  const found = /(?:^|;\s*)theme=([a-z]+)/.exec(request.headers.cookie ?? "")?.[1];
  return isTheme(found) ? found : "auto";
}

/** A path of this server to go back to; anything else becomes the first page. */
export function localPath(value: unknown): string {
  return typeof value === "string" && /^\/(?![/\\])[^\s\\]*$/.test(value) ? value : "/";
}

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
        response.cookie(cookieName, theme, { maxAge: oneYearMs, sameSite: "lax", httpOnly: false, path: "/" });
      response.redirect(303, localPath(back));
    },
  );
  return router;
}
