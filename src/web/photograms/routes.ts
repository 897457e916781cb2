// Photograms: the density of a half-transparent thing from the step of a tablet that its image matches.
import { Router } from "express";
import { objectDensity } from "#shared/film/object-density.ts";
import { formatDuration } from "#shared/format/duration.ts";
import { formatDensity, formatFixed } from "#shared/format/number.ts";
import type { Tools } from "#src/studio/tools.ts";
import { formValuesFrom, numberOf, secondsOf, textOf } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { testCard } from "#src/web/tests/routes.ts";

const offeredTests = 60;

export function objectPageRoutes({ store }: Pick<Tools, "store">): Router {
  const router = Router();
  router.get("/objects", (request, response) => {
    const values = formValuesFrom(request.query);
    const test = store.tests.find(textOf(values, "testId"));
    const step = test?.curve?.steps.find((each) => each.index === numberOf(values, "step"));
    const exposureSeconds = secondsOf(values, "minutes", "seconds");
    const isAsked = textOf(values, "testId") !== "";
    const isComplete =
      test?.curve !== undefined &&
      test.curve !== null &&
      step !== undefined &&
      exposureSeconds !== undefined &&
      exposureSeconds > 0;
    const found =
      isComplete && test.curve !== null
        ? objectDensity({ curve: test.curve, exposureSeconds, printDensity: step.density })
        : null;
    renderPage(
      response,
      "photograms/show",
      { title: "Lace, leaves and other photograms", here: "studio" },
      {
        tests: store.tests
          .list({ limit: offeredTests })
          .tests.filter((each) => each.dMax !== null)
          .map((each) => ({ ...testCard(store, each), isChosen: each.id === test?.id })),
        step: textOf(values, "step"),
        minutes: textOf(values, "minutes"),
        seconds: textOf(values, "seconds"),
        problem: !isAsked
          ? null
          : !isComplete
            ? "Choose a test with a curve, the number of one of its steps, and the time that the thing was exposed."
            : found === null
              ? "At that step the blue is as pale as paper or as deep as it gets, and says nothing about the thing. Expose it for another time, so that its image is a middle blue."
              : null,
        answer:
          found === null
            ? null
            : {
                density: formatDensity(found.density),
                stops: formatFixed(found.stops, 1),
                mid: found.midSeconds === null ? null : formatDuration(found.midSeconds),
                shoulder: found.shoulderSeconds === null ? null : formatDuration(found.shoulderSeconds),
              },
      },
    );
  });
  return router;
}
