// Frames outside: put one out, press as the sun goes and comes back, set it right, judge the dry print.
import express, { Router, type Request, type Response } from "express";
import { InputError } from "#shared/errors.ts";
import { judgeSunFrameSchema, witnessRequestSchema } from "#shared/schema/sun/frame.ts";
import { changesOfPress, isFramePress } from "#shared/sun/frames/frame-press.ts";
import { calendarDay, instantOf, isoInstant } from "#shared/sun/local-clock.ts";
import { inPlainWords } from "#shared/words/trouble-words.ts";
import { beginSunFrame, changeSunFrame, forgetSunFrame, judgeSunFrame } from "#src/studio/sun/sun-frames.ts";
import { measureFrameByStrip } from "#src/studio/sun/witness-dose.ts";
import type { Tools } from "#src/studio/tools.ts";
import { formValuesFrom, isTicked, numberOf, textOf, type FormValues } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { changesOfForm, pressedAtMs } from "./frame-form.ts";
import { framesView } from "./frame-view.ts";
import type { Planned } from "./form.ts";

const maxFormBytes = 50_000;

interface FrameTools extends Pick<Tools, "store"> {
  /** The plan that the fields of a query or a body ask for. */
  planned(fields: unknown): Planned;
}

export function framePageRoutes({ store, planned }: FrameTools): Router {
  const router = Router();
  const body = express.urlencoded({ extended: false, limit: maxFormBytes });

  function show(request: Request, response: Response, asked: Planned, trouble: string | null = null): void {
    renderPage(
      response,
      "sun/frames",
      {
        title: "Frames in the sun",
        here: "sun",
        scripts: ["sun-frames"],
        status: trouble === null ? 200 : 400,
      },
      framesView(store, asked, { nowMs: Date.now(), trouble }),
    );
  }

  /** Does what a form asks, and shows the frames; what is wrong with it is said above them. */
  function act(request: Request, response: Response, work: (values: FormValues) => string): void {
    try {
      response.redirect(303, work(formValuesFrom(request.body)));
    } catch (error) {
      if (!(error instanceof InputError) || error.code === "not-found") throw error;
      show(request, response, planned(request.body), error.detail);
    }
  }

  router.get("/sun/frames", (request, response) => show(request, response, planned(request.query)));
  router.get("/sun/clock", (request, response) => {
    response.redirect(301, request.originalUrl.replace("/sun/clock", "/sun/frames"));
  });

  router.post("/sun/frames", body, (request, response) =>
    act(request, response, (values) => {
      const { form } = planned(request.body);
      if (form.request === null)
        throw new InputError("bad-request", Object.values(form.errors)[0] ?? "Plan the exposure first.");
      const time = textOf(values, "wentOutAt").slice(0, 5);
      const startAt =
        time === ""
          ? form.request.startAt
          : inPlainWords(() =>
              isoInstant(form.clock, instantOf(form.clock, calendarDay(form.clock, Date.now()), time)),
            );
      const frame = beginSunFrame({ store }, { name: textOf(values, "name"), plan: { ...form.request, startAt } });
      return `/sun/frames#frame-${frame.id}`;
    }),
  );

  const idOf = (request: Request): string => String(request.params["id"] ?? "");

  router.post("/sun/frames/:id/press", body, (request, response) =>
    act(request, response, (values) => {
      const id = idOf(request);
      const press = textOf(values, "press");
      if (!isFramePress(press)) throw new InputError("bad-request", "This press is not known.", { field: "press" });
      const frame = store.sunFrames.get(id);
      changeSunFrame({ store }, id, changesOfPress(frame, press, pressedAtMs(values, Date.now())));
      return `/sun/frames#frame-${id}`;
    }),
  );

  router.post("/sun/frames/:id", body, (request, response) =>
    act(request, response, (values) => {
      const id = idOf(request);
      changeSunFrame({ store }, id, changesOfForm(store.sunFrames.get(id), values));
      return `/sun/frames#frame-${id}`;
    }),
  );

  router.post("/sun/frames/:id/judge", body, (request, response) =>
    act(request, response, (values) => {
      const id = idOf(request);
      const name = textOf(values, "name");
      const judged = judgeSunFrameSchema.safeParse({
        neededStops: numberOf(values, "neededStops"),
        sure: isTicked(values, "sure"),
        ...(name === "" ? {} : { name }),
      });
      if (!judged.success) throw new InputError("bad-request", "Say how the print came out.", { field: "neededStops" });
      judgeSunFrame({ store }, id, judged.data);
      return `/sun/frames#frame-${id}`;
    }),
  );

  router.post("/sun/frames/:id/witness", body, (request, response) =>
    act(request, response, (values) => {
      const id = idOf(request);
      const asked = witnessRequestSchema.safeParse(values);
      if (!asked.success)
        throw new InputError("bad-request", "Choose the strip, and the test that its depths are told by.");
      measureFrameByStrip({ store }, id, asked.data);
      return `/sun/frames#frame-${id}`;
    }),
  );

  router.post("/sun/frames/:id/forget", body, (request, response) => {
    forgetSunFrame({ store }, idOf(request));
    response.redirect(303, "/sun/frames");
  });

  return router;
}
