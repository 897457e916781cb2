// The cookie that holds a device's secret: no script reads it, no other site's request carries it, no other machine
// gets it.
// Source: RFC 6265bis, sections 5.6.6 and 5.6.7
import type { Request, Response } from "express";
import { forgottenAfterDays } from "#src/studio/devices/let-in.ts";

const name = "wedgewright-device";

/** The secret in a request; empty when there is none. The first of several counts. */
export function secretIn(request: Request): string {
  return /(?:^|;\s*)wedgewright-device=([\w-]{1,64})(?:;|$)/.exec(request.headers.cookie ?? "")?.[1] ?? "";
}

// Not `Secure`: the studio's network speaks plain HTTP, and a browser would not send the cookie there.
const attributes = { httpOnly: true, sameSite: "strict", path: "/" } as const;

export function giveSecret(response: Response, secret: string): void {
  response.cookie(name, secret, { ...attributes, maxAge: forgottenAfterDays * 24 * 3_600_000 });
}

export function takeSecret(response: Response): void {
  response.clearCookie(name, attributes);
}
