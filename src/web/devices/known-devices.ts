// Stands before everything else: what comes over the network comes from a device that was let in, or sees one page and
// nothing more.
import type { Request, RequestHandler } from "express";
import { InputError } from "#shared/errors.ts";
import type { Device } from "#shared/schema/devices.ts";
import { deviceWithSecret } from "#src/studio/devices/let-in.ts";
import type { Tools } from "#src/studio/tools.ts";
import { wantsPage } from "#src/web/parts/problem-page.ts";
import { secretIn } from "./device-cookie.ts";
import { showEntry } from "./entry-page.ts";
import { mayDo } from "./roles.ts";
import { isAtDesk, noteSpeaker, speakerOf } from "./speaker.ts";

/** Finds out who asks. @throws InputError "not-this-role" for what a device may not do */
export function tellSpeakers(tools: Pick<Tools, "store">, allowedHosts: readonly string[]): RequestHandler {
  return (request, _response, next) => {
    if (isAtDesk(request, allowedHosts)) noteSpeaker(request, { kind: "desk" });
    else {
      const device = deviceWithSecret(tools, secretIn(request), new Date());
      noteSpeaker(request, device === undefined ? { kind: "stranger" } : { kind: "device", device });
      if (device !== undefined) refuseOtherRoles(request, device);
    }
    next();
  };
}

function refuseOtherRoles({ method, path }: Request, { role }: Device): void {
  if (mayDo(role, method, path)) return;
  throw new InputError(
    "not-this-role",
    role === "reader"
      ? "This device may look and run timers. To change things, ask at the desk for a keeper's role."
      : "This is done at the desk alone: letting devices in, and bringing back a saved file or an earlier state.",
  );
}

/** A stranger sees the entry page, whatever was asked for, and learns nothing of what is here. */
export const refuseStrangers: RequestHandler = (request, response, next) => {
  if (speakerOf(request).kind !== "stranger") return next();
  // What a stranger goes on sending is not read.
  response.set({ Connection: "close", "WWW-Authenticate": 'Code realm="Wedgewright"' });
  if (request.method === "GET" && wantsPage(request))
    return showEntry(request, response, { to: request.originalUrl, status: 401 });
  throw new InputError(
    "device-unknown",
    "This device was not let in. Open this address in its browser and enter a code from the desk.",
  );
};
