// Several boxes side by side: times of one paper under each, and how they stand to one of them.
import { Router } from "express";
import { aboutTime } from "#shared/format/about-time.ts";
import { formatDuration } from "#shared/format/duration.ts";
import { formatFixed, formatStops } from "#shared/format/number.ts";
import { boxTableQuerySchema, type BoxTable, type BoxTableQuery } from "#shared/schema/workshop/boxes.ts";
import { depthOfCoating } from "#src/studio/look-up-exposure.ts";
import { boxTable } from "#src/studio/teaching/box-table.ts";
import type { Tools } from "#src/studio/tools.ts";
import { recordChoices, type FieldView } from "#src/web/parts/field-view.ts";
import { formValuesFrom, textOf } from "#src/web/parts/form-values.ts";
import { modelReady } from "#src/web/parts/model-ready.ts";
import { renderPage } from "#src/web/parts/render.ts";

const sourceWords: Readonly<Record<BoxTable["boxes"][number]["source"], string>> = {
  tested: "one test",
  pooled: "several tests",
  transferred: "tests, carried over",
  predicted: "predicted, not tested",
  unknown: "not known",
};

export function boxesPageRoutes(tools: Pick<Tools, "store" | "modelThread">): Router {
  const router = Router();
  const { store } = tools;
  router.get("/boxes", modelReady(tools), (request, response) => {
    const asked = formValuesFrom(request.query);
    const values = { ...newestChoice(), ...asked };
    const query = boxTableQuerySchema.safeParse(values);
    const found = query.success && isKnown(query.data) ? boxTable({ store }, withOwnDepth(query.data)) : null;
    const address = (referenceLampId: string): string =>
      `/boxes?${new URLSearchParams({
        supportId: textOf(values, "supportId"),
        coatingId: textOf(values, "coatingId"),
        filmId: textOf(values, "filmId"),
        referenceLampId,
      }).toString()}`;
    renderPage(
      response,
      "teaching/boxes",
      { title: "Boxes side by side", here: "studio" },
      {
        values,
        fields: [
          {
            name: "supportId",
            id: "boxes-supportId",
            label: "Paper or fabric",
            kind: "select",
            options: recordChoices("Choose …", store.supports.list()),
          },
          {
            name: "coatingId",
            id: "boxes-coatingId",
            label: "Coating",
            kind: "select",
            options: recordChoices("Choose …", store.coatings.list()),
          },
          {
            name: "filmId",
            id: "boxes-filmId",
            label: "Film of the negative",
            kind: "select",
            options: recordChoices("No film", store.films.list()),
          },
        ] satisfies FieldView[],
        reference: found?.boxes.find(({ lampId }) => lampId === found.referenceLampId)?.name ?? null,
        rows: (found?.boxes ?? []).map((box) => rowOf(box, box.lampId === found?.referenceLampId, address(box.lampId))),
      },
    );
  });

  /** To the depth that the studio prints the coating to, as everywhere on its pages. */
  const withOwnDepth = (asked: BoxTableQuery): BoxTableQuery => ({
    share: depthOfCoating(store, asked.coatingId),
    ...asked,
  });

  /** What the newest test was made on. */
  function newestChoice(): Record<string, string> {
    const [newest] = store.tests.list({ limit: 1 }).tests;
    if (newest === undefined) return {};
    const { supportId, coatingId, filmId } = newest;
    return { supportId, coatingId, filmId: filmId ?? "" };
  }

  function isKnown({
    supportId,
    coatingId,
    filmId,
  }: {
    supportId: string;
    coatingId: string;
    filmId?: string | undefined;
  }) {
    return (
      store.supports.find(supportId) !== undefined &&
      store.coatings.find(coatingId) !== undefined &&
      (!filmId || store.films.find(filmId) !== undefined)
    );
  }
  return router;
}

function rowOf(box: BoxTable["boxes"][number], isReference: boolean, href: string) {
  const { name, lampId, seconds, nextPrint, source, isDisputed, factor } = box;
  const shown = isReference ? null : factor;
  const isTold = seconds !== null && !isDisputed;
  return {
    name,
    href: `/studio/boxes/${lampId}`,
    referenceHref: href,
    isReference,
    time: isTold ? timeOf(seconds, source === "predicted" ? nextPrint : null) : null,
    why: isDisputed ? "tests disagree: retest" : "no time yet",
    range:
      isTold && nextPrint !== null
        ? `${formatDuration(nextPrint.lowerSeconds)} to ${formatDuration(nextPrint.upperSeconds)}`
        : "",
    source: sourceWords[source],
    factor: shown === null ? "" : `${formatFixed(shown.value, 2)}×`,
    stops: shown === null ? "" : formatStops(Math.log2(shown.value)),
    factorRange: shown === null ? "" : `${formatFixed(shown.lower, 2)} to ${formatFixed(shown.upper, 2)}`,
  };
}

/** A guess is no finer than its range. */
function timeOf(seconds: number, ofGuess: BoxTable["boxes"][number]["nextPrint"]): string {
  return ofGuess === null ? formatDuration(seconds) : `about ${aboutTime(seconds, ofGuess)}`;
}
