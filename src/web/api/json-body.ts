import type { Request } from "express";
import { InputError } from "#shared/errors.ts";

/**
 * The JSON object that a request carries.
 *
 * @throws InputError "not-accepted" when it carries something else, "bad-request" when it is no object
 */
export function jsonBody(request: Request): Record<string, unknown> {
  const hasBody =
    Number(request.headers["content-length"] ?? 0) > 0 || request.headers["transfer-encoding"] !== undefined;
  if (hasBody && !request.is(["json", "+json"]))
    throw new InputError("not-accepted", "Send the request as JSON, with the header Content-Type: application/json.");
  const body: unknown = request.body;
  if (typeof body !== "object" || body === null || Array.isArray(body))
    throw new InputError("bad-request", "Send one JSON object with the fields of the request.");
  return body as Record<string, unknown>;
}
