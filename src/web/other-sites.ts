// Keeps pages of other sites from changing the data behind the user's back.
import type { RequestHandler } from "express";
import { InputError } from "#shared/errors.ts";

const readingMethods = new Set(["GET", "HEAD", "OPTIONS"]);

/** Refuses changes that a browser says come from another site; programs that send neither header are let through. */
export const refuseOtherSites: RequestHandler = (request, _response, next) => {
  if (!readingMethods.has(request.method) && isFromOtherSite(request.headers)) {
    throw new InputError(
      "other-site",
      "This request came from a page of another site, so it was not carried out. Use Wedgewright's own pages.",
    );
  }
  next();
};

function isFromOtherSite(headers: Readonly<Record<string, string | string[] | undefined>>): boolean {
  const site = headers["sec-fetch-site"];
  if (typeof site === "string") return site === "cross-site";
  const { origin, host } = headers;
  if (typeof origin !== "string" || origin === "null") return false;
  return !URL.canParse(origin) || new URL(origin).host !== host;
}
