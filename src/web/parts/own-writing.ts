// How someone wants numbers, lengths and days written: kept in a cookie of the device, and held while a page is made.
import { AsyncLocalStorage } from "node:async_hooks";
import type { Request, RequestHandler } from "express";
import { usualWriting, writeAsReaderAsks, writingFrom, type Writing } from "#shared/format/writing.ts";

/** Name of the cookie that keeps the choice. */
export const writingCookie = "writing";

const reader = new AsyncLocalStorage<Writing>();
writeAsReaderAsks(() => reader.getStore() ?? usualWriting);

/** The choice of this device; the usual one when none. */
export function writingOf(request: Request): Writing {
  return writingFrom(/(?:^|;\s*)writing=([a-z.-]+)/.exec(request.headers.cookie ?? "")?.[1] ?? "");
}

/**
 * Writes pages as their reader asks. A press that changes something is answered as usual, since its sentences may be
 * kept for everyone.
 */
export function writePagesAsAsked(): RequestHandler {
  return (request, _response, next) => {
    if (request.method === "GET") reader.run(writingOf(request), next);
    else next();
  };
}
