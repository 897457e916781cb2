// The studio: boxes on their way into use and in use, and calibrations that come and go as files.
import express, { Router, type Request, type Response } from "express";
import { isDaylight } from "#shared/lamp/daylight.ts";
import { InputError } from "#shared/errors.ts";
import { studioChangeSchema, type StudioChangeInput } from "#shared/schema/changes.ts";
import { cardPaperSchema } from "#shared/schema/sheet.ts";
import type { ImportAnswer } from "#shared/schema/sharing.ts";
import { boxRecord } from "#src/studio/lamps/box-record.ts";
import { beginBox, describeBox } from "#src/studio/materials/change-box.ts";
import { forgetStudioChange, noteStudioChange } from "#src/studio/lamps/note-change.ts";
import { importCalibrations } from "#src/studio/safekeeping/import-calibrations.ts";
import { makeLidCard } from "#src/studio/paper-records.ts";
import { studioOf } from "#src/studio/teaching/name-studio.ts";
import type { Tools } from "#src/studio/tools.ts";
import { errorSummary, formTrouble } from "#src/web/parts/form-errors.ts";
import {
  formValuesFrom,
  isTicked,
  numberOf,
  textOf,
  type FieldErrors,
  type FormValues,
} from "#src/web/parts/form-values.ts";
import { parsedJson } from "#src/web/parts/json-file.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { receiveUpload } from "#src/web/upload.ts";
import { boxCard, boxView } from "./box-view.ts";
import { senderWords } from "#shared/words/teaching/sender-words.ts";
import { modelReady } from "#src/web/parts/model-ready.ts";

const maxFormBytes = 100_000;
const boxLabels = {
  kind: "The kind of light",
  widthMm: "The width",
  heightMm: "The length",
  distanceMm: "The distance",
  notes: "What is noted",
};

interface SentToBox {
  readonly values?: FormValues;
  readonly errors?: FieldErrors;
}

export function studioPageRoutes(tools: Tools): Router {
  const router = Router();
  const { store } = tools;
  const form = express.urlencoded({ extended: false, limit: maxFormBytes });

  router.get("/studio", modelReady(tools), (request, response) => {
    renderPage(
      response,
      "studio/hub",
      { title: "Studio", here: "studio" },
      {
        localAddress: localAddressOf(request),
        boxes: store.lamps
          .list()
          .filter((lamp) => !isDaylight(lamp.kind))
          .map((lamp) => boxCard(boxRecord(tools, lamp.id))),
      },
    );
  });

  router.post("/studio/boxes", form, (request, response) => {
    const { id } = beginBox(tools, textOf(formValuesFrom(request.body), "name"));
    response.redirect(303, `/studio/boxes/${id}`);
  });

  router.get("/studio/boxes/:id", modelReady(tools), (request, response) => {
    showBox(request, response);
  });

  function showBox(request: Request, response: Response, sent: SentToBox = {}, status = 200): void {
    const record = boxRecord(tools, String(request.params["id"]));
    renderPage(
      response,
      "studio/box",
      { title: record.lamp.name, here: "studio", record: `lamps/${record.lamp.id}`, status },
      boxView(store, record, { localAddress: localAddressOf(request), ...sent }),
    );
  }

  /** Does what a form of the box's page asks; trouble with what was typed goes back to that page. */
  function orShowBox(request: Request, response: Response, work: (id: string, values: FormValues) => void): void {
    const values = formValuesFrom(request.body);
    const id = String(request.params["id"]);
    try {
      work(id, values);
    } catch (error) {
      const { errors, status } = formTrouble(error, { labels: boxLabels });
      if (status === 404) throw error;
      showBox(request, response, { values, errors }, status);
      return;
    }
    response.redirect(303, `/studio/boxes/${id}`);
  }

  router.post("/studio/boxes/:id", form, (request, response) => {
    orShowBox(request, response, (id, values) =>
      describeBox(tools, id, {
        kind: textOf(values, "kind") || "other",
        widthMm: numberOf(values, "widthMm") ?? null,
        heightMm: numberOf(values, "heightMm") ?? null,
        distanceMm: numberOf(values, "distanceMm") ?? null,
        distanceVaries: isTicked(values, "distanceVaries"),
        notes: textOf(values, "notes"),
      }),
    );
  });

  router.post("/studio/boxes/:id/changes", form, (request, response) => {
    orShowBox(request, response, (_id, values) => {
      const removed = textOf(values, "remove");
      if (removed === "") noteStudioChange(tools, changeFrom(values));
      else forgetStudioChange(tools, removed);
    });
  });

  router.get("/studio/boxes/:id/card.pdf", modelReady(tools), async (request, response) => {
    const id = String(request.params["id"]);
    const pdf = await makeLidCard(tools, {
      lampId: id,
      paper: cardPaperSchema.parse(request.query["paper"]),
      address: `${addressForPhones(request)}/studio/boxes/${encodeURIComponent(id)}`,
      now: new Date(),
    });
    response.type("pdf").set("content-disposition", 'inline; filename="lid-card.pdf"').send(Buffer.from(pdf));
  });

  router.get("/studio/sharing", (_request, response) => {
    showSharing(response, null, {}, 200);
  });

  router.post("/studio/sharing", async (request, response) => {
    const { files } = await receiveUpload(request, response);
    const file = files.find((each) => each.field === "calibrations" && each.bytes.byteLength > 0);
    try {
      if (file === undefined)
        throw new InputError("bad-request", "Choose the file of shared calibrations first.", { field: "calibrations" });
      showSharing(response, await importCalibrations(tools, parsedJson(file.bytes)), {}, 200);
    } catch (error) {
      const { errors, status } = formTrouble(error, { names: [[/^/, "calibrations"]] });
      if (status >= 500) throw error;
      showSharing(response, null, errors, status);
    }
  });

  function showSharing(response: Response, answer: ImportAnswer | null, errors: FieldErrors, status: number): void {
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
        studio: studioOf(tools).name,
        answer,
        from: answer?.from == null ? null : senderWords(answer.from),
        errors,
        summary: errorSummary(errors, [["calibrations", "sharing-file"]]),
      },
    );
  }
  return router;
}

/** @throws InputError "bad-request" that names the field */
function changeFrom(values: FormValues): StudioChangeInput {
  const [kind, scope, scopeId] = textOf(values, "change").split(" ");
  const parsed = studioChangeSchema.safeParse({ kind, scope, scopeId, at: textOf(values, "at") });
  if (parsed.success) return parsed.data;
  const [issue] = parsed.error.issues;
  throw new InputError(
    "bad-request",
    `Say what changed and from which day on: ${issue?.message ?? "something is missing"}.`,
    { field: issue?.path[0] === "at" ? "at" : "change" },
  );
}

/** Address by which this request reached the server. */
function addressOf(request: Request): string {
  return `${request.protocol}://${request.get("host") ?? "127.0.0.1"}`;
}

/** The address under which phones reach the same: this request's own, or the door's while it is open. */
function addressForPhones(request: Request): string {
  const networkAddress: unknown = request.res?.locals["networkAddress"];
  const found: unknown =
    isLocalHost(request.hostname) && typeof networkAddress === "function" ? networkAddress() : null;
  return typeof found === "string" ? found : addressOf(request);
}

/** Its address when only this machine can open it, so that a code with it is no use on a phone; null otherwise. */
function localAddressOf(request: Request): string | null {
  const address = addressForPhones(request);
  return isLocalHost(new URL(address).hostname) ? address : null;
}

function isLocalHost(name: string): boolean {
  return name === "localhost" || name.endsWith(".localhost") || name === "[::1]" || /^127\.\d+\.\d+\.\d+$/.test(name);
}
