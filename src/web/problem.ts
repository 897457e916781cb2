// The one place where trouble becomes HTTP: RFC 9457 problem details.
import type { ErrorRequestHandler, Response } from "express";
import { STATUS_CODES } from "node:http";
import { ZodError } from "zod";
import { InputError, type InputErrorCode } from "#shared/errors.ts";
import { errorInWords } from "#shared/words/trouble-words.ts";
import { firstPlainIssue } from "./plain-issues.ts";

/** HTTP status of every input error. */
export const statusByCode: Readonly<Record<InputErrorCode, number>> = {
  "bad-request": 400,
  "not-found": 404,
  "in-use": 409,
  "not-a-picture": 415,
  "picture-too-large": 413,
  "no-tablet-found": 422,
  "corners-impossible": 422,
  "evenness-unknown": 422,
  "too-few-steps": 422,
  "no-correction": 409,
  busy: 503,
  "method-not-allowed": 405,
  "request-too-large": 413,
  "not-accepted": 415,
  "disk-full": 507,
  "other-site": 403,
  "unknown-host": 403,
  "device-unknown": 401,
  "not-this-role": 403,
  "wrong-code": 403,
  "too-many-tries": 429,
  "upload-stalled": 408,
  "changed-meanwhile": 409,
  "data-folder-gone": 507,
  "picture-missing": 410,
  "backup-unreadable": 400,
};

export interface Problem {
  readonly type: string;
  readonly title: string;
  readonly status: number;
  readonly detail: string;
  readonly code?: string;
  readonly field?: string;
  readonly [extra: string]: unknown;
}

/** The problem document of any thrown value; unknown ones become a bare 500. */
export function problemFrom(thrown: unknown): Problem {
  const error = errorInWords(thrown);
  if (error instanceof InputError) {
    const status = statusByCode[error.code];
    return {
      ...error.extra,
      type: "about:blank",
      title: STATUS_CODES[status] ?? "Error",
      status,
      detail: error.detail,
      code: error.code,
      ...(error.field === undefined ? {} : { field: error.field }),
    };
  }
  if (error instanceof ZodError) {
    const { field, message } = firstPlainIssue(error);
    return problemFrom(
      new InputError(
        "bad-request",
        `${field === "" ? "The request" : field}: ${message}.`,
        field === "" ? {} : { field },
      ),
    );
  }
  const transport = transportProblem(error);
  if (transport !== undefined) return problemFrom(transport);
  return {
    type: "about:blank",
    title: "Internal Server Error",
    status: 500,
    detail: "Something went wrong in Wedgewright itself. Nothing that was saved is lost; try again.",
  };
}

type BodyTrouble = readonly [ConstructorParameters<typeof InputError>[0], string];
const notWhole: BodyTrouble = ["bad-request", "The request did not arrive whole: send it again."];
const otherEncoding: BodyTrouble = ["not-accepted", "The request's encoding is not supported: send plain UTF-8."];
/** By the type that the body parsers give their errors. */
const bodyTroubles: ReadonlyMap<string, BodyTrouble> = new Map([
  ["entity.parse.failed", ["bad-request", "The request is not readable JSON: check its quotes, commas and brackets."]],
  ["parameters.too.many", ["request-too-large", "The form has too many fields: send fewer."]],
  [
    "entity.too.large",
    ["request-too-large", "The request is too large: send the picture as a multipart file, and less text."],
  ],
  ["encoding.unsupported", otherEncoding],
  ["charset.unsupported", otherEncoding],
  ["stream.encoding.set", notWhole],
] as const);
const fullDiskCodes: ReadonlySet<string> = new Set(["SQLITE_FULL", "ENOSPC", "EDQUOT"]);

/** What the body parsers and the disk throw, in our own words. */
function transportProblem(error: unknown): InputError | undefined {
  if (!(error instanceof Error)) return undefined;
  const type = "type" in error ? String(error.type) : "";
  const code = "code" in error ? String(error.code) : "";
  const trouble = bodyTroubles.get(type) ?? (/^(request|entity)\./.test(type) ? notWhole : undefined);
  if (trouble !== undefined) return new InputError(...trouble, { cause: error });
  if (error instanceof URIError)
    return new InputError("bad-request", "The address holds a broken % sign: check it.", { cause: error });
  if (fullDiskCodes.has(code))
    return new InputError(
      "disk-full",
      "The disk of the data folder is full, so nothing was saved. Make room and try again; what was saved before " +
        "is safe.",
      { cause: error },
    );
  return undefined;
}

/** Seconds after which a place is likely to be free again: a picture of 12 million pixels is read in one or two. */
const retrySeconds = 5;

/** How long wrong codes of one address are remembered [s] (src/studio/devices/entry-codes.ts). */
const triesSeconds = 600;

/** Puts a time beside "busy" and "too many". */
export function sayWhenToTryAgain(response: Response, { status }: Pick<Problem, "status">): void {
  if (status === 503) response.set("Retry-After", String(retrySeconds));
  if (status === 429) response.set("Retry-After", String(triesSeconds));
}

/** Last handler of the app. */
export const answerProblem: ErrorRequestHandler = (error, _request, response, next) => {
  if (response.headersSent) {
    next(error);
    return;
  }
  // The asker has gone away: nobody is there to answer, and nothing went wrong.
  if (response.destroyed) return;
  const problem = problemFrom(error);
  if (problem.status === 500) console.error(error);
  sayWhenToTryAgain(response, problem);
  response.status(problem.status).type("application/problem+json").send(JSON.stringify(problem));
};
