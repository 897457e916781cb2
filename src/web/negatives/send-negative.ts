// A finished negative on its way out, and what its request lacks when it comes in: for the page and for the API.
import { createReadStream } from "node:fs";
import { stat } from "node:fs/promises";
import { pipeline } from "node:stream/promises";
import type { Response } from "express";
import { InputError } from "#shared/errors.ts";
import type { NegativeRequest } from "#shared/schema/negative.ts";
import type { NegativeFile } from "#src/studio/negatives/make-negative.ts";
import type { SeriesFile } from "#src/studio/negatives/make-series.ts";
import { plainFileName } from "#src/web/file-name.ts";
import type { UploadOnDisk } from "#src/web/upload-to-disk.ts";

/** File endings by media type. */
export const negativeExtensions = {
  "image/png": "png",
  "application/pdf": "pdf",
  "image/tiff": "tif",
  "application/zip": "zip",
} as const;

/** The picture of an upload. @throws InputError "bad-request" */
export function photoOf(upload: UploadOnDisk): string {
  if (upload.photo === null)
    throw new InputError("bad-request", 'The picture is missing: send it as the file "photo".', { field: "photo" });
  return upload.photo;
}

/** A request whose caption carries today's date unless it says another. */
export function dated<Wish extends Pick<NegativeRequest, "captionDate">>(request: Wish): Wish {
  return { ...request, captionDate: request.captionDate || new Date().toISOString().slice(0, 10) };
}

/** Sends the file, its warnings beside it as JSON in a header of plain characters. */
export function sendNegative(response: Response, { bytes, ...made }: NegativeFile): void {
  withHeaders(response, made).send(Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength));
}

/** The same for a series, from the disk as fast as it is taken. */
export async function sendSeries(response: Response, { path, ...made }: SeriesFile): Promise<void> {
  const { size } = await stat(path);
  // A receiver who went away is nobody's mistake.
  await pipeline(createReadStream(path), withHeaders(response, made).set("Content-Length", String(size))).catch(
    (error: unknown) => {
      if (!response.destroyed) throw error;
    },
  );
}

function withHeaders(response: Response, { type, nameWords, warnings, madeId }: Omit<NegativeFile, "bytes">): Response {
  return response
    .type(type)
    .attachment(`${plainFileName(nameWords)}.${negativeExtensions[type]}`)
    .type(type)
    .set("Wedgewright-Warnings", warningsHeader(warnings))
    .set("Wedgewright-Negative", madeId);
}

/** Most characters of the warnings header; proxies cut longer ones. */
const longestHeader = 6000;

function warningsHeader(warnings: NegativeFile["warnings"]): string {
  const whole = encodeURIComponent(JSON.stringify(warnings));
  return whole.length <= longestHeader
    ? whole
    : encodeURIComponent(JSON.stringify(warnings.map(({ code }) => ({ code, message: "" }))));
}
