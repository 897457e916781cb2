// A backup as it comes in: the whole body of a request, or the file "backup" of a form, streamed through.
import type { Request } from "express";
import { PassThrough } from "node:stream";
import multer, { type MulterError, type StorageEngine } from "multer";
import { InputError } from "#shared/errors.ts";
import { receiveForm } from "./multipart-form.ts";

/** Hands a sent backup to `work` while it arrives, and gives what it makes of it. */
export function withSentBackup<Result>(
  request: Request,
  work: (source: AsyncIterable<Uint8Array>) => Promise<Result>,
): Promise<Result> {
  return request.is("multipart/form-data") ? withFormFile(request, work) : work(request);
}

async function withFormFile<Result>(
  request: Request,
  work: (source: AsyncIterable<Uint8Array>) => Promise<Result>,
): Promise<Result> {
  let result: Promise<Result> | undefined;
  const storage: StorageEngine = {
    _handleFile(_request, file, done) {
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
    _removeFile(_request, _file, done) {
      done(null);
    },
  };
  const receive = multer({ storage, limits: { files: 1, fields: 5, parts: 8 } }).single("backup");
  await receiveForm(request, request.res!, { receive, troubleOf });
  if (result === undefined)
    throw new InputError("bad-request", 'The backup is missing: send it as the file "backup".', { field: "backup" });
  return result;
}

function troubleOf(cause: MulterError): InputError {
  return new InputError(
    "bad-request",
    'Send the backup as the one file "backup", or as the whole body of the request.',
    { field: "backup", cause },
  );
}
