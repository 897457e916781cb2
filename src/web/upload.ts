// Pictures that come as multipart/form-data: at most so many bytes for one request, and so many at once for the server.
import type { Request, Response } from "express";
import multer, { type MulterError, type StorageEngine } from "multer";
import { InputError } from "#shared/errors.ts";
import { plainFields } from "./multipart-fields.ts";
import { countedBody, receiveForm, refuseOtherBodies } from "./multipart-form.ts";
import { uploadRoomOf, type Tally } from "./upload-room.ts";

/** Most bytes of one request with pictures: a 16-bit TIFF of a small strip, or a phone picture many times over. */
export const maxUploadBytes = 80 * 1024 * 1024;
/** Most bytes held for all requests together, so that many senders cannot take the whole memory. */
const maxHeldBytes = 400 * 1024 * 1024;
/** Most pictures of one request. */
export const maxFiles = 9;
/** Most bytes of one text field, and of all text of a request with what stands round its parts. */
const maxFieldBytes = 256 * 1024;
const maxTextBytes = 2 * 1024 * 1024;
/** Most bytes that one address other than this machine may hold, so that a single sender cannot shut out the rest. */
const maxHeldByAddress = 160 * 1024 * 1024;

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

/**
 * Keeps a request's files in memory; everything that came is counted, text too, for this request, its sender and the
 * server.
 */
class CountingStorage implements StorageEngine {
  private requestBytes = 0;
  private fileBytes = 0;
  private readonly address: string;
  private readonly held: Tally;

  constructor(address: string, held: Tally) {
    this.address = address;
    this.held = held;
  }

  /** Counts what came over the line. Gives the trouble when it is too much. */
  count(bytes: number): InputError | undefined {
    this.requestBytes += bytes;
    const { total, ofAddress } = this.held.add(this.address, bytes);
    if (this.requestBytes - this.fileBytes > maxTextBytes) return tooMuchText();
    if (total > maxHeldBytes || (ofAddress > maxHeldByAddress && !isThisMachine(this.address)))
      return new InputError("busy", "Too many pictures are arriving at once: try again in a minute.");
    return undefined;
  }

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
      this.fileBytes += chunk.byteLength;
      if (this.fileBytes > maxUploadBytes) {
        chunks.length = 0;
        give(tooLarge());
      } else chunks.push(chunk);
    });
    file.stream.on("error", (error: Error) => give(error));
    file.stream.on("end", () => give(undefined, { buffer: Buffer.concat(chunks) }));
  }

  _removeFile(_request: Request, _file: Express.Multer.File, done: (error: Error | null) => void): void {
    done(null);
  }

  release(): void {
    this.held.add(this.address, -this.requestBytes);
    this.requestBytes = 0;
  }
}

/**
 * Reads a multipart request.
 *
 * @throws InputError "picture-too-large", "busy", "not-accepted" or "bad-request".
 */
export async function receiveUpload(request: Request, response: Response): Promise<Upload> {
  refuseOtherBodies(request);
  if (Number(request.headers["content-length"] ?? 0) > maxUploadBytes + maxTextBytes) throw tooLarge();
  const storage = new CountingStorage(request.socket.remoteAddress ?? "", uploadRoomOf(request).heldBytes);
  response.once("close", () => storage.release());
  const receive = multer({
    storage,
    limits: {
      files: maxFiles,
      fields: 80,
      fieldSize: maxFieldBytes,
      fieldNameSize: 100,
      fieldNestingDepth: 1,
      parts: 100,
    },
    streamHandler: countedBody((bytes) => storage.count(bytes)),
  } as multer.Options).any();
  await receiveForm(request, response, { receive, troubleOf });
  const files = Array.isArray(request.files) ? request.files : [];
  return {
    fields: plainFields(request.body),
    files: files.map((file) => ({ field: file.fieldname, bytes: file.buffer })),
  };
}

/** Whether a request came from this very machine. */
export function isThisMachine(address: string | undefined): boolean {
  return address === undefined || /^(::ffff:)?127\.|^::1$|^$/.test(address);
}

function tooMuchText(): InputError {
  return new InputError(
    "request-too-large",
    "The form holds too much text: send the picture as a file, and less text.",
  );
}

function tooLarge(): InputError {
  return new InputError(
    "picture-too-large",
    `The picture is larger than ${Math.round(maxUploadBytes / 1024 / 1024)} MB. Save it as JPEG, or crop it to ` +
      "the tablet and a hand's breadth around it.",
    { field: "photo" },
  );
}

function troubleOf(error: MulterError): InputError {
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

/** The pictures of one print from an upload: one or more `photo`s, and perhaps `evenLight`. */
export function printPicturesFrom(
  upload: Upload,
  { isPhotoNeeded = true }: { isPhotoNeeded?: boolean } = {},
): { photos: Uint8Array[]; evenLight?: Uint8Array | undefined } {
  const sent = upload.files.filter((file) => file.field === "photo");
  const photos = sent.filter((file) => file.bytes.byteLength > 0).map((file) => file.bytes);
  const evenLight = upload.files.find((file) => file.field === "evenLight" && file.bytes.byteLength > 0)?.bytes;
  if (photos.length === 0 && sent.length > 0)
    throw new InputError("not-a-picture", "The file is empty: copy it from the phone or camera again.", {
      field: "photo",
    });
  if (photos.length === 0 && isPhotoNeeded)
    throw new InputError("bad-request", 'The picture is missing: send it as the file "photo".', { field: "photo" });
  return { photos, evenLight };
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
