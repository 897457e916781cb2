// Pictures that come as multipart/form-data: at most so many bytes for one request, and so many at once for the server.
import type { Request, Response } from "express";
import multer, { MulterError, type StorageEngine } from "multer";
import { InputError } from "#shared/errors.ts";

/** Most bytes of one request with pictures: a 16-bit TIFF of a small strip, or a phone picture many times over. */
export const maxUploadBytes = 80 * 1024 * 1024;
/** Most bytes held for all requests together, so that many senders cannot take the whole memory. */
const maxHeldBytes = 400 * 1024 * 1024;
/** Most pictures of one request. */
export const maxFiles = 9;
const maxTextBytes = 1024 * 1024;

export interface Upload {
  /** Text fields, the last of a name counting. */
  readonly fields: Readonly<Record<string, string>>;
  /** Files in the order in which they came. */
  readonly files: readonly UploadedFile[];
}

export interface UploadedFile {
  readonly field: string;
  readonly bytes: Uint8Array;
}

let heldBytes = 0;

/** Keeps a request's files in memory and counts them together. */
class CountingStorage implements StorageEngine {
  private requestBytes = 0;

  _handleFile(
    _request: Request,
    file: Express.Multer.File,
    done: (error?: unknown, info?: Partial<Express.Multer.File>) => void,
  ): void {
    const chunks: Buffer[] = [];
    let isOver = false;
    const give = (error?: unknown, info?: Partial<Express.Multer.File>): void => {
      if (isOver) return;
      isOver = true;
      done(error, info);
    };
    file.stream.on("data", (chunk: Buffer) => {
      if (isOver) return;
      this.requestBytes += chunk.byteLength;
      heldBytes += chunk.byteLength;
      if (this.requestBytes > maxUploadBytes) {
        chunks.length = 0;
        give(tooLarge());
      } else if (heldBytes > maxHeldBytes) {
        chunks.length = 0;
        give(new InputError("busy", "Too many pictures are arriving at once: try again in a minute."));
      } else chunks.push(chunk);
    });
    file.stream.on("error", (error: Error) => give(error));
    file.stream.on("end", () => give(undefined, { buffer: Buffer.concat(chunks) }));
  }

  _removeFile(_request: Request, _file: Express.Multer.File, done: (error: Error | null) => void): void {
    done(null);
  }

  release(): void {
    heldBytes -= this.requestBytes;
    this.requestBytes = 0;
  }
}

/**
 * Reads a multipart request.
 *
 * @throws InputError "picture-too-large", "busy", "not-accepted" or "bad-request".
 */
export async function receiveUpload(request: Request, response: Response): Promise<Upload> {
  if (!request.is("multipart/form-data")) {
    throw new InputError(
      "not-accepted",
      'Send multipart/form-data: the picture as file "photo", the rest as JSON in the text field "request".',
    );
  }
  if (Number(request.headers["content-length"] ?? 0) > maxUploadBytes + maxTextBytes) throw tooLarge();
  const storage = new CountingStorage();
  response.once("close", () => storage.release());
  const receive = multer({
    storage,
    limits: {
      files: maxFiles,
      fields: 80,
      fieldSize: maxTextBytes,
      fieldNameSize: 100,
      fieldNestingDepth: 1,
      parts: 100,
    },
  }).any();
  await new Promise<void>((resolve, reject) => {
    receive(request, response, (error: unknown) =>
      error === undefined || error === null ? resolve() : reject(inOurWords(error)),
    );
  });
  const files = Array.isArray(request.files) ? request.files : [];
  const fields: Record<string, string> = {};
  for (const [name, value] of Object.entries((request.body ?? {}) as Record<string, unknown>)) {
    fields[name] = Array.isArray(value) ? String(value.at(-1)) : String(value);
  }
  return { fields, files: files.map((file) => ({ field: file.fieldname, bytes: file.buffer })) };
}

function tooLarge(): InputError {
  return new InputError(
    "picture-too-large",
    `The picture is larger than ${Math.round(maxUploadBytes / 1024 / 1024)} MB. Save it as JPEG, or crop it to the tablet and a hand's breadth around it.`,
    { field: "photo" },
  );
}

function inOurWords(error: unknown): unknown {
  if (error instanceof InputError) return error;
  if (error instanceof MulterError) {
    switch (error.code) {
      case "LIMIT_FILE_SIZE":
        return tooLarge();
      case "LIMIT_FILE_COUNT":
      case "LIMIT_UNEXPECTED_FILE":
        return new InputError("bad-request", `Send at most ${maxFiles} pictures at once.`, {
          field: "photo",
          cause: error,
        });
      default:
        return new InputError(
          "bad-request",
          'The form has too many or too long fields: send the file "photo" and one text field "request".',
          { cause: error },
        );
    }
  }
  return new InputError("bad-request", "The form did not arrive whole: send it again.", { cause: error });
}

/** The pictures of one print from an upload: one or more `photo`s, and perhaps `evenLight`. */
export function printPicturesFrom(upload: Upload): { photos: Uint8Array[]; evenLight?: Uint8Array } {
  const sent = upload.files.filter((file) => file.field === "photo");
  const photos = sent.filter((file) => file.bytes.byteLength > 0).map((file) => file.bytes);
  const evenLight = upload.files.find((file) => file.field === "evenLight" && file.bytes.byteLength > 0)?.bytes;
  if (photos.length === 0 && sent.length > 0)
    throw new InputError("not-a-picture", "The file is empty: copy it from the phone or camera again.", {
      field: "photo",
    });
  if (photos.length === 0)
    throw new InputError("bad-request", 'The picture is missing: send it as the file "photo".', { field: "photo" });
  return { photos, ...(evenLight === undefined ? {} : { evenLight }) };
}

/** The JSON of a text field. @throws InputError "bad-request" when it is missing or not JSON. */
export function jsonField(upload: Upload, field: string): unknown {
  const file = upload.files.find((each) => each.field === field);
  const text = upload.fields[field] ?? (file === undefined ? undefined : new TextDecoder().decode(file.bytes));
  if (text === undefined)
    throw new InputError("bad-request", `The text field "${field}" is missing: it holds the rest as JSON.`, { field });
  try {
    return JSON.parse(text);
  } catch (cause) {
    throw new InputError(
      "bad-request",
      `The text field "${field}" is not readable JSON: check its quotes, commas and brackets.`,
      { field, cause },
    );
  }
}
