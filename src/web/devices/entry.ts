// The way in for a device, and its way out.
import express, { Router } from "express";
import { join } from "node:path";
import { InputError } from "#shared/errors.ts";
import type { Settings } from "#src/settings.ts";
import { letDeviceIn, shutOutDevice } from "#src/studio/devices/let-in.ts";
import type { Access } from "#src/studio/devices/switch-devices.ts";
import type { Tools } from "#src/studio/tools.ts";
import { formValuesFrom, textOf } from "#src/web/parts/form-values.ts";
import { localPath } from "#src/web/parts/local-path.ts";
import { problemFrom, sayWhenToTryAgain } from "#src/web/problem.ts";
import { giveSecret, takeSecret } from "./device-cookie.ts";
import { showEntry } from "./entry-page.ts";
import { deviceOf, speakerOf } from "./speaker.ts";

/** The entry page's own style, and nothing else of static/. */
const entryStyles = ["enter", "tokens", "base", "button", "field"].map((name) => `/styles/${name}.css`);

export function entryRoutes(
  tools: Pick<Tools, "store">,
  { codes }: Access,
  { rootDir }: Pick<Settings, "rootDir">,
): Router {
  const router = Router();
  for (const path of entryStyles)
    router.get(path, (_request, response) => response.sendFile(join(rootDir, "static", path)));

  router.get("/enter", (request, response) => {
    const { code, to } = formValuesFrom(request.query);
    const { kind } = speakerOf(request);
    if (kind === "desk") return response.redirect(303, "/studio/devices");
    if (kind === "device" && code === undefined) return response.redirect(303, localPath(to));
    // The code is used by the press on the page, not by the link: what only looks at links must not use it up.
    showEntry(request, response, { to, status: 200, ...(code === undefined ? {} : { code: code.slice(0, 20) }) });
  });

  router.post("/enter", express.urlencoded({ extended: false, limit: 4000 }), (request, response) => {
    const values = formValuesFrom(request.body);
    const [code, name, to] = [textOf(values, "code"), textOf(values, "name"), localPath(values["to"])];
    try {
      const address = request.socket.remoteAddress ?? "";
      const { secret } = letDeviceIn(tools, codes, { code, name, address, before: deviceOf(request) });
      giveSecret(response, secret);
      response.redirect(303, to);
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      const problem = problemFrom(error);
      sayWhenToTryAgain(response, problem);
      showEntry(request, response, { to, code, name, problem: problem.detail, status: problem.status });
    }
  });

  router.post("/leave", (request, response) => {
    const device = deviceOf(request);
    if (device !== undefined) shutOutDevice(tools, device.id);
    takeSecret(response);
    response.redirect(303, "/");
  });
  return router;
}
