// Pages that ask the studio's model wait until it knows everything that is saved; other requests go on meanwhile.
import type { RequestHandler } from "express";
import { studioModelReady } from "#src/studio/studio-model.ts";
import type { Tools } from "#src/studio/tools.ts";

export function modelReady(tools: Pick<Tools, "store" | "modelThread">): RequestHandler {
  return (_request, _response, next) => {
    studioModelReady(tools).then(() => next(), next);
  };
}
