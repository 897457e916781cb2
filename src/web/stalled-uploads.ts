// A request whose body does not come holds memory, a place and a file; so it is ended, whoever sends it.
import type { RequestHandler } from "express";
import { InputError } from "#shared/errors.ts";
import { problemFrom } from "./problem.ts";

export interface StallOptions {
  /** A body that brings less than `leastBytes` in this time is ended. Default 25 s. */
  readonly seconds?: number;
  /** Default 50,000: 2 kB a second, a tenth of the slowest radio. */
  readonly leastBytes?: number;
}

/** Ends uploads that stall. Time in which this server itself has not read what came does not count. */
export function endStalledUploads({ seconds = 25, leastBytes = 50_000 }: StallOptions = {}): RequestHandler {
  return (request, response, next) => {
    const hasBody =
      Number(request.headers["content-length"] ?? 0) > 0 || request.headers["transfer-encoding"] !== undefined;
    if (!hasBody || request.complete) return next();
    const { socket } = request;
    let before = socket.bytesRead;
    const timer = setInterval(() => {
      const came = socket.bytesRead - before;
      before = socket.bytesRead;
      if (request.complete || socket.destroyed) return clearInterval(timer);
      if (came >= leastBytes || request.readableLength > 0 || request.isPaused()) return;
      clearInterval(timer);
      if (response.headersSent) return void request.destroy();
      const problem = problemFrom(
        new InputError("upload-stalled", "The rest of this request did not arrive, so it was given up: send it again."),
      );
      response.status(problem.status).set("Connection", "close").type("application/problem+json");
      response.end(JSON.stringify(problem), () => request.destroy());
    }, seconds * 1000);
    timer.unref();
    const stop = (): void => clearInterval(timer);
    request.once("close", stop);
    response.once("close", stop);
    next();
  };
}
