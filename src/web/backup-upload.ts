// A backup as it comes in: the whole body of a request, or the file "backup" of a form, streamed through.
import type { Request } from "express";
import { PassThrough } from "node:stream";
import multer from "multer";
import { InputError } from "#shared/errors.ts";

/** Hands a sent backup to `work` while it arrives, and gives what it makes of it. */
export function withSentBackup<Result>(
  request: Request,
  work: (source: AsyncIterable<Uint8Array>) => Promise<Result>,
): Promise<Result> {
  return request.is("multipart/form-data") ? withFormFile(request, work) : work(request);
}

function withFormFile<Result>(
  request: Request,
  work: (source: AsyncIterable<Uint8Array>) => Promise<Result>,
): Promise<Result> {
  return new Promise((resolve, reject) => {
    let result: Promise<Result> | undefined;
    const storage = {
      _handleFile(_request: unknown, file: Express.Multer.File, done: (error?: unknown, info?: object) => void): void {
        const through = file.stream.pipe(new PassThrough());
        file.stream.once("error", (error) => through.destroy(error));
        result = work(through);
        result.then(
          () => done(undefined, {}),
          (error: unknown) => {
            file.stream.resume();
            done(error);
          },
        );
      },
      _removeFile(_request: unknown, _file: unknown, done: (error: Error | null) => void): void {
        done(null);
      },
    };
    multer({ storage, limits: { files: 1, fields: 5, parts: 8 } }).single("backup")(
      request,
      request.res!,
      (error: unknown) => {
        if (error instanceof InputError) reject(error);
        else if (error !== undefined && error !== null)
          reject(
            new InputError(
              "bad-request",
              'Send the backup as the one file "backup", or as the whole body of the request.',
              { field: "backup", cause: error },
            ),
          );
        else if (result === undefined)
          reject(
            new InputError("bad-request", 'The backup is missing: send it as the file "backup".', { field: "backup" }),
          );
        else result.then(resolve, reject);
      },
    );
  });
}
