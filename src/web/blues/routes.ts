// A print's own blues as a style sheet, and which print colours a page: the one it shows, else the newest good test.
import { Router, type RequestHandler } from "express";
import { ownBlues } from "#shared/prints/own-blues.ts";
import type { StoreReader } from "#src/store/store.ts";
import { bluesHref, bluesSheet, housePaper } from "./sheet.ts";

/** The address names the version of the test, so that what is kept under it stays right. */
const keptSeconds = 365 * 24 * 3600;

export function bluesRoutes({ store }: { readonly store: StoreReader }): Router {
  const router = Router();
  router.use(wearBlues(store));
  // Nearly every page wears the same print's.
  let last = { href: "", sheet: "" };
  router.get("/tests/:id/blues.css", (request, response) => {
    const test = store.tests.get(request.params.id);
    const href = bluesHref(test);
    if (last.href !== href) last = { href, sheet: bluesSheet(ownBlues(test.reading.steps, housePaper)) };
    response.type("css").set("cache-control", `private, max-age=${keptSeconds}, immutable`).send(last.sheet);
  });
  return router;
}

/** Pages that show no print wear the blues of the newest good test; looked up only when a page is rendered. */
function wearBlues(store: StoreReader): RequestHandler {
  return (_request, response, next) => {
    response.locals["newestBlues"] = (): string | null => {
      const [newest] = store.tests.list({ verdict: "ok", tabletKind: "transmission", limit: 1 }).tests;
      return newest === undefined ? null : bluesHref(newest);
    };
    next();
  };
}
