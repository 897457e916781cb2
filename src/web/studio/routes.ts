// The studio: boxes on their way into use and in use, and calibrations that come and go as files.
import express, { Router, type Request, type Response } from "express";
import { controlChartPlot } from "./drift-plot.ts";
import { InputError } from "#shared/errors.ts";
import { formatDuration } from "#shared/format/duration.ts";
import { formatDay } from "#shared/format/instant.ts";
import { formatFixed, formatShare } from "#shared/format/number.ts";
import { driftWords } from "#shared/words/drift-words.ts";
import { lampInputSchema, type Lamp } from "#shared/schema/materials.ts";
import type { ImportAnswer } from "#shared/schema/sharing.ts";
import { baseTimeOf, boxRecord, type BaseTime, type BoxCombination, type BoxRecord } from "#src/studio/box-record.ts";
import { importCalibrations } from "#src/studio/import-calibrations.ts";
import { makeLidCard } from "#src/studio/paper-records.ts";
import type { Tools } from "#src/studio/tools.ts";
import type { Store } from "#src/store/store.ts";
import { problemFrom } from "#src/web/problem.ts";
import { receiveUpload } from "#src/web/upload.ts";
import { parsedJson } from "#src/web/parts/json-file.ts";
import { formValuesFrom, isTicked, numberOf, textOf } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { testCard } from "#src/web/tests/card.ts";

const maxFormBytes = 100_000;
const stepOrder = ["described", "evenness", "first-test", "distance"] as const;

/** How lamps behave in their first minutes. Values from memory; verify them for the lamp at hand. */
const warmUpNotes: Readonly<Partial<Record<Lamp["kind"], string>>> = {
  tubes:
    "Tubes take two to five minutes to steady (from memory). Let them burn that long before every exposure, the test's as well as the print's.",
  led: "Diodes lose five to fifteen percent in their first minutes as they heat (from memory). Begin tests and prints alike: always cold, or always warm.",
  panel: "Let the light burn in for some minutes before every exposure, the test's as well as the print's.",
  point:
    "Discharge lamps take three to five minutes to steady, and must cool before they light again (from memory). Begin tests and prints alike.",
};

export function studioPageRoutes(tools: Tools): Router {
  const router = Router();
  const { store } = tools;
  const form = express.urlencoded({ extended: false, limit: maxFormBytes });

  router.get("/studio", (request, response) => {
    renderPage(
      response,
      "studio/hub",
      { title: "Studio", here: "studio" },
      {
        localAddress: localAddressOf(request),
        boxes: store.lamps
          .list()
          .filter((lamp) => lamp.kind !== "sun" && lamp.kind !== "shade")
          .map((lamp) => boxCard(boxRecord(tools, lamp.id))),
      },
    );
  });

  router.post("/studio/boxes", form, (request, response) => {
    const name = textOf(formValuesFrom(request.body), "name");
    if (name === "")
      throw new InputError("bad-request", "Give the box a name, so that you find it again.", { field: "name" });
    response.redirect(303, `/studio/boxes/${store.lamps.create(lampInputSchema.parse({ name })).id}`);
  });

  router.get("/studio/boxes/:id", (request, response) => {
    const record = boxRecord(tools, request.params.id);
    const { lamp } = record;
    renderPage(
      response,
      "studio/box",
      { title: lamp.name, here: "studio" },
      {
        id: lamp.id,
        localAddress: localAddressOf(request),
        lamp: {
          kind: lamp.kind,
          widthMm: lamp.widthMm ?? "",
          heightMm: lamp.heightMm ?? "",
          distanceMm: lamp.distanceMm ?? "",
          distanceVaries: lamp.distanceVaries ?? null,
          notes: lamp.notes,
        },
        kinds: [
          ["tubes", "bank of tubes"],
          ["led", "field of diodes"],
          ["panel", "even panel"],
          ["point", "single small lamp"],
          ["other", "something else"],
        ].map(([value, label]) => ({ value, label })),
        warmUp: warmUpNotes[lamp.kind] ?? null,
        done: record.done,
        next: stepOrder.find((step) => !record.done[step]) ?? "card",
        evenness: lamp.evenness
          ? {
              day: formatDay(lamp.evenness.madeAt),
              range: formatFixed(lamp.evenness.rangeStops, 2),
              share: formatShare(lamp.evenness.evenShare),
            }
          : null,
        newest: record.newestTest === null ? null : testCard(store, record.newestTest),
        combinations: record.combinations.map((each) => combinationView(store, each)),
      },
    );
  });

  router.post("/studio/boxes/:id", form, (request, response) => {
    const id = String(request.params["id"]);
    const values = formValuesFrom(request.body);
    store.lamps.replace(
      id,
      lampInputSchema.parse({
        ...store.lamps.get(id),
        kind: textOf(values, "kind") || "other",
        widthMm: numberOf(values, "widthMm") ?? null,
        heightMm: numberOf(values, "heightMm") ?? null,
        distanceMm: numberOf(values, "distanceMm") ?? null,
        distanceVaries: isTicked(values, "distanceVaries"),
        notes: textOf(values, "notes"),
      }),
    );
    response.redirect(303, `/studio/boxes/${id}`);
  });

  router.get("/studio/boxes/:id/card.pdf", async (request, response) => {
    const { id } = request.params;
    const pdf = await makeLidCard(tools, {
      lampId: id,
      address: `${addressOf(request)}/studio/boxes/${encodeURIComponent(id)}`,
      now: new Date(),
    });
    response.type("pdf").set("content-disposition", 'inline; filename="lid-card.pdf"').send(Buffer.from(pdf));
  });

  router.get("/studio/sharing", (_request, response) => {
    showSharing(response, null, null, 200);
  });

  router.post("/studio/sharing", async (request, response) => {
    const { files } = await receiveUpload(request, response);
    const file = files.find((each) => each.field === "calibrations" && each.bytes.byteLength > 0);
    try {
      if (file === undefined)
        throw new InputError("bad-request", "Choose the file of shared calibrations first.", { field: "calibrations" });
      showSharing(response, await importCalibrations(tools, parsedJson(file.bytes)), null, 200);
    } catch (error) {
      const problem = problemFrom(error);
      if (problem.status >= 500) throw error;
      showSharing(response, null, problem.detail, problem.status);
    }
  });

  function showSharing(response: Response, answer: ImportAnswer | null, problem: string | null, status: number): void {
    renderPage(
      response,
      "studio/sharing",
      { title: "Share calibrations", here: "studio", status },
      {
        lamps: store.lamps
          .list()
          .map(({ id, name }) => ({ id, name, tests: store.lamps.countTests(id) }))
          .filter((lamp) => lamp.tests > 0),
        tests: store.tests.count(),
        answer,
        problem,
      },
    );
  }
  return router;
}

/** Address by which this request reached the server. */
function addressOf(request: Request): string {
  return `${request.protocol}://${request.get("host") ?? "127.0.0.1"}`;
}

/** Its address when only this machine can open it, so that a code with it is no use on a phone; null otherwise. */
function localAddressOf(request: Request): string | null {
  return isLocalHost(request.hostname) ? addressOf(request) : null;
}

function isLocalHost(name: string): boolean {
  return name === "localhost" || name.endsWith(".localhost") || name === "[::1]" || /^127\.\d+\.\d+\.\d+$/.test(name);
}

function boxCard(record: BoxRecord): {
  id: string;
  name: string;
  done: number;
  steps: number;
  times: number;
  alert: string | null;
} {
  const drifting = record.combinations.find((each) => each.drift?.isRetestAdvised === true);
  return {
    id: record.lamp.id,
    name: record.lamp.name,
    done: stepOrder.filter((step) => record.done[step]).length,
    steps: stepOrder.length,
    times: record.combinations.length,
    alert: drifting?.drift ? driftWords(drifting.drift) : null,
  };
}

function basisWords({ source, tests }: BaseTime): string {
  const count = `${tests} ${tests === 1 ? "test" : "tests"}`;
  switch (source) {
    case "newest":
      return "newest test alone";
    case "tested":
      return count;
    case "pooled":
      return `${count} taken together`;
    case "transferred":
      return `carried over from ${count}`;
    case "predicted":
      return `drawn from ${count} of other combinations`;
  }
}

function combinationView(store: Store, each: BoxCombination) {
  const time = baseTimeOf({ store }, each);
  const { seconds, lowerSeconds, upperSeconds } = time;
  const materialIds = {
    lampId: each.newest.lampId,
    supportId: each.supportId,
    coatingId: each.coatingId,
    ...(each.filmId === null ? {} : { filmId: each.filmId }),
  };
  return {
    materials: [
      store.supports.find(each.supportId)?.name,
      store.coatings.find(each.coatingId)?.name,
      each.filmId === null ? "no film" : store.films.find(each.filmId)?.name,
    ]
      .filter((name) => name !== undefined)
      .join(" · "),
    href:
      time.source === "newest"
        ? `/tests/${each.newest.id}`
        : `/exposures?${new URLSearchParams(materialIds).toString()}`,
    time: formatDuration(seconds),
    range:
      lowerSeconds === null || upperSeconds === null
        ? ""
        : `${formatDuration(lowerSeconds)} to ${formatDuration(upperSeconds)}`,
    basis: basisWords(time),
    testId: each.newest.id,
    day: formatDay(each.newest.madeAt),
    again: `${formatDay(each.retest.on)}${each.retest.atLampHours === null ? "" : `, or at ${Math.round(each.retest.atLampHours)} lamp hours`}`,
    drift:
      each.drift === null
        ? null
        : {
            tone: each.drift.isRetestAdvised ? "caution" : "ok",
            sentence: driftWords(each.drift),
            plot: controlChartPlot(each.drift),
          },
    printQuery: new URLSearchParams({
      ...materialIds,
      exposureSeconds: String(Math.round(seconds)),
      advisedSeconds: String(seconds),
      ...(lowerSeconds === null || upperSeconds === null
        ? {}
        : { advisedLowerSeconds: String(lowerSeconds), advisedUpperSeconds: String(upperSeconds) }),
    }).toString(),
  };
}
