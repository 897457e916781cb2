// Trouble on a page, said in plain words with the same status that the JSON routes answer.
import type { ErrorRequestHandler, Request, RequestHandler } from "express";
import { InputError } from "#shared/errors.ts";
import { problemFrom, sayWhenToTryAgain } from "#src/web/problem.ts";
import { renderPage } from "./render.ts";

const headings: Readonly<Record<number, string>> = {
  400: "That did not come through right",
  403: "Not from here",
  404: "There is no such page",
  409: "That cannot be done yet",
  413: "The picture is too large",
  415: "That is not a picture Wedgewright can read",
  422: "The picture could not be read",
  503: "Too much is waiting",
};

/** Whether the answer should be a page: any route outside /api, asked by something that shows pages. */
export function wantsPage(request: Request): boolean {
  return !request.path.startsWith("/api/") && request.accepts(["html", "json"]) === "html";
}

/** Answers the routes that nobody took: `path` outside /api. */
export const pageNotFound: RequestHandler = (request, _response, next) => {
  if (request.path.startsWith("/api/")) {
    next();
    return;
  }
  next(new InputError("not-found", "Nothing lives at this address. Check it, or start from the first page."));
};

/** Stands before the JSON problem handler and takes what belongs to pages. */
export const answerProblemPage: ErrorRequestHandler = (error, request, response, next) => {
  if (response.headersSent || response.destroyed || !wantsPage(request)) {
    next(error);
    return;
  }
  const problem = problemFrom(error);
  if (problem.status >= 500 && problem.status !== 503) console.error(error);
  sayWhenToTryAgain(response, problem);
  const title =
    headings[problem.status] ?? (problem.status >= 500 ? "Something went wrong here" : "That cannot be done");
  renderPage(
    response,
    "problem",
    { title, status: problem.status },
    { detail: problem.detail, status: problem.status },
  );
};
