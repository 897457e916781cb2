import { randomBytes } from "node:crypto";

/** A short random url-safe string; 72 bits, so that two never meet. */
export function newId(): string {
  return randomBytes(9).toString("base64url");
}

/**
 * The instant of a change: now, and in any case after the change before, so that no two versions of a record are called
 * alike.
 */
export function laterThan(before: string, now: Date): string {
  return new Date(Math.max(now.getTime(), Date.parse(before) + 1)).toISOString();
}
