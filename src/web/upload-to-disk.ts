// A picture to print may be large: it goes to the disk as it comes, never into memory.
import type { Request, Response } from "express";
import multer, { type MulterError } from "multer";
import { rm } from "node:fs/promises";
import { InputError } from "#shared/errors.ts";
import { makeWorkFolder } from "#src/studio/work-folder.ts";
import { plainFields } from "./multipart-fields.ts";
import { countedBody, receiveForm, refuseOtherBodies } from "./multipart-form.ts";
import { uploadRoomOf } from "./upload-room.ts";
import { isThisMachine } from "./upload.ts";

/** Most bytes of a picture to print: 100 million pixels of 16-bit colour, uncompressed. */
const maxPictureBytes = 700 * 1024 * 1024;
const maxTextBytes = 64 * 1024;
/** Pictures that may arrive or be worked on at once. */
const mostAtOnce = 6;

/** ... and from one address other than this machine, so that one sender cannot take every place. */
const mostFromAddress = 2;

export interface UploadOnDisk {
  readonly fields: Readonly<Record<string, string>>;
  /** Path of the picture; null when none came. */
  readonly photo: string | null;
  /** What the sender calls it; empty when none came. */
  readonly photoName: string;
  /** Every picture that came, in order, where several may. */
  readonly pictures: readonly { readonly file: string; readonly name: string }[];
  /** Folder of this upload, for further files. */
  readonly folder: string;
  /** Takes the folder over: it stays when the answer is out, and the taker removes it. */
  keepFolder(): void;
}

/**
 * Reads a multipart request whose file `photo`, or several of them where they may, goes
 * into a folder of its own, removed when the answer is out.
 * @throws InputError "not-accepted", "picture-too-large", "busy" or "bad-request"
 */
export async function receiveToDisk(
  request: Request,
  response: Response,
  { mostPictures = 1 }: { readonly mostPictures?: number } = {},
): Promise<UploadOnDisk> {
  refuseOtherBodies(request);
  if (Number(request.headers["content-length"] ?? 0) > maxPictureBytes + maxTextBytes) throw tooLarge();
  const address = request.socket.remoteAddress ?? "";
  const underWay = uploadRoomOf(request).onDisk;
  const { total, ofAddress } = underWay.now(address);
  if (total >= mostAtOnce || (ofAddress >= mostFromAddress && !isThisMachine(address)))
    throw new InputError("busy", "Several pictures are being worked on at the moment: try again in a minute.");
  underWay.add(address, 1);
  const folder = await makeWorkFolder();
  let isKept = false;
  response.once("close", () => {
    underWay.add(address, -1);
    if (!isKept) void rm(folder, { recursive: true, force: true });
  });
  let received = 0;
  const storage = multer.diskStorage({
    destination: folder,
    filename: (_request, _file, done) => done(null, `photo${(received += 1)}`),
  });
  let bytes = 0;
  const troubleAfter = (more: number): InputError | undefined =>
    (bytes += more) > maxPictureBytes + maxTextBytes ? tooLarge() : undefined;
  const receive = multer({
    storage,
    streamHandler: countedBody(troubleAfter),
    limits: {
      files: mostPictures,
      fileSize: maxPictureBytes,
      fields: 60,
      fieldSize: maxTextBytes,
      fieldNameSize: 100,
      parts: 80,
    },
  } as multer.Options).array("photo", mostPictures);
  await receiveForm(request, response, { receive, troubleOf });
  const files = (Array.isArray(request.files) ? request.files : []).filter(({ size }) => size > 0);
  const [file] = files;
  return {
    fields: plainFields(request.body),
    photo: file?.path ?? null,
    photoName: file?.originalname ?? "",
    pictures: files.map(({ path, originalname }) => ({ file: path, name: originalname })),
    folder,
    keepFolder: () => {
      isKept = true;
    },
  };
}

function tooLarge(): InputError {
  return new InputError(
    "picture-too-large",
    `The picture is larger than ${Math.round(maxPictureBytes / 1024 / 1024)} MB. Save it as JPEG or as a ` +
      "compressed TIFF.",
    { field: "photo" },
  );
}

function troubleOf(error: MulterError): InputError {
  if (error.code === "LIMIT_FILE_SIZE") return tooLarge();
  return new InputError(
    "bad-request",
    'The form is not as expected: send one file "photo" and one text field "request".',
    { cause: error, ...(error.code === "LIMIT_UNEXPECTED_FILE" ? { field: error.field ?? "photo" } : {}) },
  );
}
