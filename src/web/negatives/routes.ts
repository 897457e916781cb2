// The way to the next negative: sheet, reading, curve, and the form that makes it.
import { Router, type Response } from "express";
import { formatDay } from "#shared/format/instant.ts";
import { greyMixes, negativeRequestFromForm } from "#shared/correction/negative-form.ts";
import { printColours, type ScreenColour } from "#shared/correction/print-colours.ts";
import { InputError } from "#shared/errors.ts";
import { correctionQuerySchema } from "#shared/schema/correction.ts";
import { negativeRequestSchema } from "#shared/schema/negative.ts";
import { correctionOfTest } from "#src/studio/correct.ts";
import { makeNegative } from "#src/studio/make-negative.ts";
import type { Tools } from "#src/studio/tools.ts";
import type { Store } from "#src/store/store.ts";
import { dated, photoOf, sendNegative } from "./answer.ts";
import { closingSignal } from "#src/web/parts/closing-signal.ts";
import { problemFrom } from "#src/web/problem.ts";
import { receiveToDisk } from "#src/web/upload-to-disk.ts";
import { textOf, formValuesFrom, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { materialsText } from "#src/web/parts/materials-text.ts";

/** Tests offered. */
const mostTests = 200;

const defaults: FormValues = {
  target: "lightness",
  greyMix: "luminance",
  widthMm: "180",
  dpi: "300",
  contrast: "0",
  sharpening: "0",
  marginMm: "10",
  marginTone: "opaque",
  caption: "yes",
  invert: "yes",
  mirror: "yes",
  format: "pdf",
  overlapMm: "10",
  cropLeft: "",
  cropTop: "",
  cropWidth: "",
  cropHeight: "",
  filmWidthMm: "",
  filmHeightMm: "",
  tile: "",
  registrationMarks: "",
};

/** What the page's script needs of each test that could be chosen. */
export interface NegativePageData {
  readonly curves: Readonly<
    Record<string, { readonly levels: readonly number[]; readonly colours: readonly ScreenColour[] }>
  >;
}

interface ToneTest {
  readonly id: string;
  readonly title: string;
  readonly materials: string;
  readonly day: string;
  readonly invented: boolean;
}

/** Tests with a tone curve, newest first. */
function toneTests(store: Store): ToneTest[] {
  return (["sheet", "levels"] as const)
    .flatMap((tabletKind) => store.tests.list({ tabletKind, limit: mostTests }).tests)
    .sort((a, b) => Date.parse(b.madeAt) - Date.parse(a.madeAt))
    .map((test) => {
      const materials = materialsText(store, test);
      return {
        id: test.id,
        title: test.name === "" ? materials : test.name,
        materials: test.name === "" ? "" : materials,
        day: formatDay(test.madeAt),
        invented: test.invented,
      };
    });
}

/** Targets to choose from; a scale of one's own is made on the curve's page and comes along in the address. */
function targetsToChoose(chosen: string): { value: string; label: string }[] {
  const own = chosen.includes(":") ? [{ value: chosen, label: `A scale of your own (${chosen})` }] : [];
  return [
    { value: "lightness", label: "Even steps of lightness (usual)" },
    { value: "density", label: "Even steps of density" },
    ...own,
  ];
}

/** Name of a curve among the page's data. */
const curveKey = (testId: string, target: string): string => `${testId} ${target}`;

/** Curve and colours of a test for a target as written in an address; null when its tones give no curve. */
function pageCurve(store: Store, testId: string, targetText: string): NegativePageData["curves"][string] | null {
  try {
    const target = correctionQuerySchema.shape.target.parse(targetText);
    const { test, correction } = correctionOfTest({ store }, { testId, target });
    const good = test.reading.steps.filter((step) => !step.flags.includes("left-out"));
    return {
      levels: correction.levels.map((level) => Math.round(level * 100) / 100),
      colours: printColours(correction.measured.density, good),
    };
  } catch (error) {
    if (error instanceof InputError) return null;
    throw error;
  }
}

export function negativePageRoutes(tools: Tools): Router {
  const router = Router();
  const { store } = tools;

  router.get("/negatives", (_request, response) => {
    renderPage(
      response,
      "negatives/list",
      { title: "The next negative", here: "negatives" },
      { tests: toneTests(store) },
    );
  });

  function showForm(
    response: Response,
    values: FormValues,
    errors: FieldErrors,
    problem: string | null,
    status: number,
  ): void {
    const tests = toneTests(store);
    const chosen = tests.find((test) => test.id === textOf(values, "testId")) ?? tests[0];
    if (chosen === undefined) {
      response.redirect(303, "/negatives");
      return;
    }
    const target = textOf(values, "target") || "lightness";
    const curve = errors["target"] === undefined ? pageCurve(store, chosen.id, target) : null;
    const data: NegativePageData = { curves: curve === null ? {} : { [curveKey(chosen.id, target)]: curve } };
    renderPage(
      response,
      "negatives/new",
      { title: "Make a negative", here: "negatives", scripts: ["negative"], data, status },
      {
        tests,
        targets: targetsToChoose(target),
        curveHref: `/tests/${chosen.id}/correction${target === "lightness" ? "" : `?target=${encodeURIComponent(target)}`}`,
        values: { ...defaults, ...values, testId: chosen.id, target },
        errors,
        problem: Object.keys(errors).length === 0 ? problem : null,
        mixes: Object.entries(greyMixes).map(([value, { label }]) => ({ value, label })),
        cropOpen: errors["crop"] !== undefined || textOf(values, "cropWidth") !== "",
      },
    );
  }

  router.get("/negatives/new", (request, response) => {
    const values = formValuesFrom(request.query);
    const target = correctionQuerySchema.shape.target.safeParse(values["target"] ?? "lightness");
    const errors: FieldErrors = target.success ? {} : { target: "This scale cannot be read: choose one here." };
    showForm(response, target.success ? values : { ...values, target: "" }, errors, null, target.success ? 200 : 400);
  });

  /** Another test was chosen: its curve and colours for the preview. */
  router.get("/negatives/curves/:id", (request, response) => {
    const curve = pageCurve(store, request.params.id, String(request.query["target"] ?? "lightness"));
    if (curve === null) throw new InputError("no-correction", "This test gives no tone curve: choose another.");
    response.json(curve);
  });

  router.post("/negatives", async (request, response) => {
    const upload = await receiveToDisk(request, response);
    // An absent tick box is a box without a tick.
    const values: FormValues = { registrationMarks: "", caption: "", invert: "", mirror: "", ...upload.fields };
    const parsed = negativeRequestSchema.safeParse(negativeRequestFromForm(values));
    if (!parsed.success) {
      const errors: FieldErrors = {};
      for (const issue of parsed.error.issues) errors[String(issue.path[0] ?? "widthMm")] ??= issue.message;
      showForm(response, values, errors, null, 400);
      return;
    }
    try {
      sendNegative(
        response,
        await makeNegative(tools, {
          request: dated(parsed.data),
          file: photoOf(upload),
          workFolder: upload.folder,
          signal: closingSignal(response),
        }),
      );
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      showForm(
        response,
        values,
        error.field === undefined ? {} : { [error.field]: error.detail },
        error.detail,
        problemFrom(error).status,
      );
    }
  });
  return router;
}
