// Phones in the studio, from the desk: let them in, name them, shut them out.
import express, { Router, type RequestHandler, type Response } from "express";
import { InputError } from "#shared/errors.ts";
import { deviceRoleSchema } from "#shared/schema/devices.ts";
import { changeDevice, shutOutDevice } from "#src/studio/devices/let-in.ts";
import { switchDevices, type Access } from "#src/studio/devices/switch-devices.ts";
import type { Tools } from "#src/studio/tools.ts";
import { formValuesFrom, textOf } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { speakerOf } from "./speaker.ts";
import { devicesView } from "./view.ts";

const page = "/studio/devices";

export function devicePageRoutes(tools: Pick<Tools, "store">, access: Access): Router {
  const router = Router();
  const form = express.urlencoded({ extended: false, limit: 10_000 });
  router.use(page, atDeskAlone);
  // For what is read by phones, such as the code on a lid card.
  router.use((_request, response, next) => {
    response.locals["networkAddress"] = (): string | undefined => access.door.addresses()[0];
    next();
  });

  async function show(response: Response): Promise<void> {
    const view = await devicesView(tools, access, new Date());
    response.set("Cache-Control", "no-store");
    renderPage(response, "devices/list", { title: "Phones in the studio", here: "studio" }, view);
  }

  router.get(page, async (_request, response) => show(response));
  router.post(`${page}/switch`, form, async (request, response) => {
    await switchDevices(tools, access, textOf(formValuesFrom(request.body), "phones") === "on");
    response.redirect(303, page);
  });
  router.post(`${page}/code`, form, (request, response) => {
    access.codes.make(deviceRoleSchema.parse(formValuesFrom(request.body)["role"]));
    response.redirect(303, `${page}#code`);
  });
  router.post(`${page}/code/withdraw`, (_request, response) => {
    access.codes.withdraw();
    response.redirect(303, page);
  });
  router.post(`${page}/:id`, form, (request, response) => {
    const { name, role } = formValuesFrom(request.body);
    changeDevice(tools, String(request.params["id"]), { name, role });
    response.redirect(303, page);
  });
  router.post(`${page}/:id/shut-out`, (request, response) => {
    shutOutDevice(tools, String(request.params["id"]));
    response.redirect(303, page);
  });
  return router;
}

/** The roles say so already (roles.ts); this stands should a path ever be written in a way that they do not know. */
const atDeskAlone: RequestHandler = (request, _response, next) => {
  if (speakerOf(request).kind === "desk") return next();
  throw new InputError("not-this-role", "Devices are let in at the desk alone.");
};
