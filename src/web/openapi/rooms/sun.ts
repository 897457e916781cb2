// Routes of the sun: plans, anchors, frames outside.
// A new route is one entry here; a test names what is missing.
import {
  beginSunFrameSchema,
  judgeSunFrameSchema,
  sunFramePatchSchema,
  witnessRequestSchema,
} from "#shared/schema/sun/frame.ts";
import { sunDayRequestSchema } from "#shared/schema/sun/day.ts";
import { sunAnchorInputSchema, sunExposureRequestSchema } from "#shared/schema/sun/exposure.ts";
import type { Operation } from "#src/web/openapi/operation.ts";

/** Routes of the sun: plans, anchors, frames outside. */
export const sunOperations: Readonly<Record<string, Operation>> = {
  "POST /api/sun/exposures": {
    summary: "When to bring a print in from the sun",
    body: sunExposureRequestSchema,
    gives: "SunExposure",
    troubles: [413, 415],
  },
  "GET /api/sun/anchors": { summary: "Lists kept sun exposures that fix the scale", gives: ["SunAnchor"] },
  "POST /api/sun/anchors": {
    summary: "Keeps a sun exposure as an anchor",
    body: sunAnchorInputSchema,
    status: 201,
    gives: "SunAnchor",
    troubles: [413, 415],
  },
  "GET /api/sun/anchors/{id}": { summary: "Shows one anchor", gives: "SunAnchor", troubles: [404] },
  "DELETE /api/sun/anchors/{id}": { summary: "Forgets an anchor", status: 204, troubles: [404] },
  "POST /api/sun/day-plans": {
    summary: "Lays a queue of negatives over the sun of one day",
    body: sunDayRequestSchema,
    gives: "SunDay",
  },
  "GET /api/sun/frames": { summary: "Lists frames outside, then those brought in", gives: ["SunFrame"] },
  "POST /api/sun/frames": {
    summary: "Puts a frame outside by a plan",
    body: beginSunFrameSchema,
    status: 201,
    gives: "SunFrame",
  },
  "GET /api/sun/frames/{id}": {
    summary: "Shows one frame and what it has had by now",
    gives: "SunFrame",
    troubles: [404],
  },
  "PATCH /api/sun/frames/{id}": {
    summary: "Sets a frame right: start, end, hidden sun, turns, name",
    body: sunFramePatchSchema,
    gives: "SunFrame",
    troubles: [404],
  },
  "DELETE /api/sun/frames/{id}": { summary: "Forgets a frame", status: 204, troubles: [404] },
  "GET /api/sun/frames/{id}/calendar.ics": {
    summary: "The time to bring a frame in, as a calendar file that calls",
    gives: { files: ["text/calendar"] },
    troubles: [404],
  },
  "POST /api/sun/frames/{id}/witness": {
    summary: "Gives a frame the dose that the witness strip beside it tells",
    body: witnessRequestSchema,
    gives: "SunFrame",
    troubles: [404],
  },
  "POST /api/sun/frames/{id}/anchor": {
    summary: "Judges the dry print of a frame and keeps its exposure as an anchor",
    body: judgeSunFrameSchema,
    status: 201,
    gives: "SunAnchor",
    troubles: [404],
  },
};
