// The one place where trouble becomes HTTP: RFC 9457 problem details.
import type { ErrorRequestHandler } from "express";
import { STATUS_CODES } from "node:http";
import { ZodError } from "zod";
import { InputError, type InputErrorCode } from "#shared/errors.ts";

/** HTTP status of every input error. */
export const statusByCode: Readonly<Record<InputErrorCode, number>> = {
  "bad-request": 400,
  "not-found": 404,
  "in-use": 409,
  "not-a-picture": 415,
  "picture-too-large": 413,
  "no-tablet-found": 422,
  "corners-impossible": 422,
  "too-few-steps": 422,
  "no-correction": 409,
  busy: 503,
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
export function problemFrom(error: unknown): Problem {
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
    const issue = error.issues[0];
    const field = issue?.path.join(".") ?? "";
    return {
      type: "about:blank",
      title: "Bad Request",
      status: 400,
      detail: `${field === "" ? "The request" : field}: ${issue?.message ?? "not understood"}.`,
      code: "bad-request",
      ...(field === "" ? {} : { field }),
    };
  }
  return { type: "about:blank", title: "Internal Server Error", status: 500, detail: "Something went wrong in Wedgewright itself. Nothing that was saved is lost; try again." };
}

/** Last handler of the app. */
export const answerProblem: ErrorRequestHandler = (error, _request, response, next) => {
  if (response.headersSent) {
    next(error);
    return;
  }
  const problem = problemFrom(error);
  if (problem.status >= 500 && problem.status !== 503) console.error(error);
  response.status(problem.status).type("application/problem+json").send(JSON.stringify(problem));
};
