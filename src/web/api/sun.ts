// Exposures under the sun, and the anchors kept for them, over HTTP.
import { Router } from "express";
import {
  beginSunFrameSchema,
  judgeSunFrameSchema,
  sunFramePatchSchema,
  type SunFrame,
  witnessRequestSchema,
} from "#shared/schema/sun/frame.ts";
import { sunDayRequestSchema } from "#shared/schema/sun/day.ts";
import { sunAnchorInputSchema, sunExposureRequestSchema } from "#shared/schema/sun/exposure.ts";
import { frameNow } from "#shared/sun/frames/frame-record.ts";
import { forgetSunAnchor } from "#src/studio/sun/forget-sun-anchor.ts";
import { keepSunAnchor } from "#src/studio/sun/keep-sun-anchor.ts";
import { planSunDay } from "#src/studio/sun/plan-sun-day.ts";
import { planSunExposure } from "#src/studio/sun/plan-sun-exposure.ts";
import { beginSunFrame, changeSunFrame, forgetSunFrame, judgeSunFrame } from "#src/studio/sun/sun-frames.ts";
import type { Tools } from "#src/studio/tools.ts";
import { frameCalendar } from "#src/studio/sun/frame-calendar.ts";
import { measureFrameByStrip } from "#src/studio/sun/witness-dose.ts";
import { jsonBody } from "./json-body.ts";

export function sunRoutes({ store }: Pick<Tools, "store">): Router {
  const router = Router();
  router.post("/api/sun/exposures", (request, response) => {
    response.json(planSunExposure({ store }, sunExposureRequestSchema.parse(jsonBody(request))));
  });
  router.get("/api/sun/anchors", (_request, response) => {
    response.json(store.sunAnchors.list());
  });
  router.post("/api/sun/anchors", (request, response) => {
    const anchor = keepSunAnchor({ store }, sunAnchorInputSchema.parse(jsonBody(request)));
    response.status(201).location(`/api/sun/anchors/${anchor.id}`).json(anchor);
  });
  router.get("/api/sun/anchors/:id", (request, response) => {
    response.json(store.sunAnchors.get(request.params.id));
  });
  router.delete("/api/sun/anchors/:id", (request, response) => {
    forgetSunAnchor({ store }, request.params.id);
    response.status(204).end();
  });
  router.post("/api/sun/day-plans", (request, response) => {
    response.json(planSunDay({ store }, sunDayRequestSchema.parse(jsonBody(request))));
  });
  router.use(frameRoutes({ store }));
  return router;
}

/** A frame with what it has had by now. */
const withNow = (frame: SunFrame): object => ({ ...frame, now: frameNow(frame, Date.now()) });

function frameRoutes({ store }: Pick<Tools, "store">): Router {
  const router = Router();
  router.get("/api/sun/frames", (_request, response) => {
    response.json(store.sunFrames.list().map(withNow));
  });
  router.post("/api/sun/frames", (request, response) => {
    const frame = beginSunFrame({ store }, beginSunFrameSchema.parse(jsonBody(request)));
    response.status(201).location(`/api/sun/frames/${frame.id}`).json(withNow(frame));
  });
  router.get("/api/sun/frames/:id", (request, response) => {
    response.json(withNow(store.sunFrames.get(request.params.id)));
  });
  router.patch("/api/sun/frames/:id", (request, response) => {
    const changes = sunFramePatchSchema.parse(jsonBody(request));
    response.json(withNow(changeSunFrame({ store }, request.params.id, changes)));
  });
  router.delete("/api/sun/frames/:id", (request, response) => {
    forgetSunFrame({ store }, request.params.id);
    response.status(204).end();
  });
  router.get("/api/sun/frames/:id/calendar.ics", (request, response) => {
    const frame = store.sunFrames.get(request.params.id);
    response.type("text/calendar").attachment("bring-in.ics").send(frameCalendar(frame, Date.now()));
  });
  router.post("/api/sun/frames/:id/witness", (request, response) => {
    const asked = witnessRequestSchema.parse(jsonBody(request));
    response.json(withNow(measureFrameByStrip({ store }, request.params.id, asked)));
  });
  router.post("/api/sun/frames/:id/anchor", (request, response) => {
    const anchor = judgeSunFrame({ store }, request.params.id, judgeSunFrameSchema.parse(jsonBody(request)));
    response.status(201).location(`/api/sun/anchors/${anchor.id}`).json(anchor);
  });
  return router;
}
