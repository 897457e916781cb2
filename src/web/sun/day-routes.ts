// The day's plan: a page, a calendar and a paper of it.
import { Router, type Request } from "express";
import { InputError } from "#shared/errors.ts";
import type { SunDayAnswer } from "#shared/schema/sun/day.ts";
import { sunDayCalendar, sunDayPdf } from "#src/studio/sun/day-papers.ts";
import { planSunDay } from "#src/studio/sun/plan-sun-day.ts";
import type { Tools } from "#src/studio/tools.ts";
import { formValuesFrom } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { dayRequestFrom, dayRowsFrom, type DayRow } from "./day-form.ts";
import { dayView } from "./day-view.ts";
import type { Planned } from "./form.ts";

interface DayTools extends Pick<Tools, "store"> {
  planned(fields: unknown): Planned;
}

export function dayPageRoutes({ store, planned }: DayTools): Router {
  const router = Router();

  /** The form and its plan; null before a negative is named. @throws InputError */
  function planOf(request: Request): { asked: Planned; rows: DayRow[]; answer: () => SunDayAnswer | null } {
    const asked = planned(request.query);
    const rows = dayRowsFrom({ ...request.query }, asked.form.anchors[0] ?? "");
    return {
      asked,
      rows,
      answer() {
        const wanted = dayRequestFrom(asked.form, rows, formValuesFrom(request.query));
        return wanted === null ? null : planSunDay({ store }, wanted);
      },
    };
  }

  function answerOf(request: Request): SunDayAnswer {
    const answer = planOf(request).answer();
    if (answer === null) throw new InputError("bad-request", "Name a place and at least one negative first.");
    return answer;
  }

  router.get("/sun/day", (request, response) => {
    const { asked, rows, answer } = planOf(request);
    let day: SunDayAnswer | null = null;
    let trouble: string | null = Object.values(asked.form.errors)[0] ?? null;
    try {
      day = answer();
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      trouble = error.detail;
    }
    renderPage(
      response,
      "sun/day",
      { title: "The day's plan", here: "sun", status: trouble === null ? 200 : 400 },
      dayView(store, { asked, rows, day, values: formValuesFrom(request.query), trouble }),
    );
  });
  router.get("/sun/day/calendar.ics", (request, response) => {
    response
      .type("text/calendar")
      .attachment("day-in-the-sun.ics")
      .send(sunDayCalendar(answerOf(request), Date.now()));
  });
  router.get("/sun/day/plan.pdf", async (request, response) => {
    const pdf = await sunDayPdf(answerOf(request));
    response.type("pdf").set("content-disposition", 'inline; filename="day-in-the-sun.pdf"').send(Buffer.from(pdf));
  });
  return router;
}
