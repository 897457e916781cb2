import { randomBytes } from "node:crypto";

/** A short random url-safe string; 72 bits, so that two never meet. */
export function newId(): string {
  return randomBytes(9).toString("base64url");
}
