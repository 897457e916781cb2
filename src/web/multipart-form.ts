// One way to take a multipart form in, wherever its files go: what is wrong with it comes out in plain words.
import type { Request, RequestHandler, Response } from "express";
import { MulterError } from "multer";
import type { Readable, Writable } from "node:stream";
import { InputError } from "#shared/errors.ts";

/** @throws InputError "not-accepted" for a body that is no multipart form */
export function refuseOtherBodies(request: Request): void {
  if (request.is("multipart/form-data")) return;
  throw new InputError(
    "not-accepted",
    'Send multipart/form-data: the picture as file "photo", the rest as JSON in the text field "request".',
  );
}

/**
 * Runs one of multer's handlers over a request.
 * @param troubleOf what a form past the handler's limits is told
 * @throws InputError that one, what the handler's storage throws, "disk-full", or "bad-request" for half a form
 */
export function receiveForm(
  request: Request,
  response: Response,
  { receive, troubleOf }: { readonly receive: RequestHandler; readonly troubleOf: (error: MulterError) => InputError },
): Promise<void> {
  return new Promise((resolve, reject) => {
    void receive(request, response, (error: unknown) => {
      if (error === undefined || error === null) resolve();
      else if (error instanceof InputError) reject(error);
      else if (error instanceof MulterError) reject(troubleOf(error));
      else reject(brokenOff(error));
    });
  });
}

/**
 * A hook of multer's for a body on its way in: counts what comes, whatever its head says of its length, and breaks off.
 * @param troubleAfter told the size of each piece [bytes]; what it gives ends the request
 */
export function countedBody(
  troubleAfter: (bytes: number) => InputError | undefined,
): (body: Readable, parser: Writable) => void {
  return (body, parser) => {
    body.on("data", (piece: Buffer) => {
      const trouble = troubleAfter(piece.byteLength);
      if (trouble !== undefined) parser.destroy(trouble);
    });
    body.pipe(parser);
  };
}

function brokenOff(cause: unknown): InputError {
  if (cause instanceof Error && "code" in cause && cause.code === "ENOSPC")
    return new InputError("disk-full", "The disk of this machine is full: make room, then send the picture again.", {
      cause,
    });
  return new InputError("bad-request", "The form did not arrive whole: send it again.", { cause });
}
