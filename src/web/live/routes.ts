// The stream that pages listen to. A program may too: `curl -N http://127.0.0.1:4870/live`.
import { Router } from "express";
import { deviceOf, speakerOf } from "#src/web/devices/speaker.ts";
import type { Hub } from "./hub.ts";

export function liveRoutes(hub: Hub): Router {
  const router = Router();
  // A page says what it knows, so that nothing is missed between its making and its first listening.
  router.use((_request, response, next) => {
    response.locals["newsPlace"] = hub.place;
    next();
  });
  router.get("/live", (request, response) => {
    const { since } = request.query;
    const seen = request.get("last-event-id") ?? (typeof since === "string" && since !== "" ? since : null);
    const isAtDesk = speakerOf(request).kind === "desk";
    hub.attach(response, { owner: deviceOf(request)?.id ?? request.socket.remoteAddress ?? "", isAtDesk, seen });
  });
  return router;
}
