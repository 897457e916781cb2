// The version that a request was made on: `If-Match`, or a field `version` beside the changes.
import type { Request, Response } from "express";

/** Undefined when the request does not say, or takes any version. Source: RFC 9110, section 13.1.1. */
export function seenVersionOf(request: Request, body: Readonly<Record<string, unknown>>): string | undefined {
  const header = request.get("if-match")?.trim();
  if (header !== undefined && header !== "*") return header.replace(/^W\//, "").replace(/^"(.*)"$/, "$1");
  const { version } = body;
  return typeof version === "string" && version !== "" ? version : undefined;
}

/** Says the version of a record that is answered. */
export function sayVersion(response: Response, { updatedAt }: { readonly updatedAt: string }): void {
  response.set("ETag", `"${updatedAt}"`);
}
