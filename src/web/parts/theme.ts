// The colours that someone chose for the pages.
import type { Request } from "express";

export const themes = ["auto", "light", "dark", "darkroom"] as const;
export type Theme = (typeof themes)[number];
export const themeLabels: Readonly<Record<Theme, string>> = {
  auto: "As the device",
  light: "Light",
  dark: "Dark",
  darkroom: "Darkroom red",
};

/** Name of the cookie that keeps the choice. */
export const themeCookie = "theme";
export function isTheme(value: unknown): value is Theme {
  return themes.some((theme) => theme === value);
}

/** Theme chosen in this browser; "auto" when none. */
export function themeOf(request: Request): Theme {
  const found = /(?:^|;\s*)theme=([a-z]+)/.exec(request.headers.cookie ?? "")?.[1];
  return isTheme(found) ? found : "auto";
}
