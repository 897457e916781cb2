// Saved tests: the list with its filters, one result, its corners, what was written about it, and its end.
import express, { Router } from "express";
import { formatDay } from "#shared/format/instant.ts";
import { InputError } from "#shared/errors.ts";
import type { MaterialKind } from "#shared/schema/materials.ts";
import { testFilterSchema, type SavedTest, type TestFilter } from "#shared/schema/test.ts";
import { deleteTest } from "#src/studio/tests/delete-test.ts";
import { leaveTestOut } from "#src/studio/lamps/note-change.ts";
import { depthOfCoating } from "#src/studio/look-up-exposure.ts";
import { standingAmongTests } from "#src/studio/tests/standing-among-tests.ts";
import { rereadTest } from "#src/studio/tests/reread-test.ts";
import type { Tools } from "#src/studio/tools.ts";
import type { StoreReader } from "#src/store/store.ts";
import { problemFrom } from "#src/web/problem.ts";
import { receiveUpload } from "#src/web/upload.ts";
import { cornersPage } from "./corners-view.ts";
import type { Choice, FieldView } from "#src/web/parts/field-view.ts";
import { formTrouble } from "#src/web/parts/form-errors.ts";
import { cornersFrom } from "#src/web/parts/corners-form.ts";
import { formValuesFrom, textOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { chosenMaterials, materialFields, withMaterialsAdded } from "#src/web/parts/material-fields.ts";
import { bluesHref } from "#src/web/blues/sheet.ts";
import { modelReady } from "#src/web/parts/model-ready.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { testFormFrom, withOwnDepth } from "./form.ts";
import { formValuesOf } from "./saved-form.ts";
import { testFormView } from "./form-view.ts";
import { otherStrips } from "./other-strips.ts";
import { testCard } from "./card.ts";
import { testTitle } from "./title.ts";
import { resultView } from "./view.ts";
import { materialsText } from "#src/web/parts/materials-text.ts";
import { verdictWords } from "#shared/words/tests/verdict-words.ts";

const maxFormBytes = 500_000;
/** Tests on one page of the list. */
const pageSize = 40;

function filterFields(store: StoreReader): FieldView[] {
  const materials = (kind: MaterialKind): { value: string; label: string }[] =>
    store[kind].list({ archived: true }).map(({ id, name }) => ({ value: id, label: name }));
  const field = (name: string, label: string, options: readonly Choice[]): FieldView => ({
    name,
    id: `filter-${name}`,
    kind: "select",
    label,
    options: [{ value: "", label: "any" }, ...options],
  });
  return [
    field("lampId", "Light", materials("lamps")),
    field("supportId", "Paper or fabric", materials("supports")),
    field("coatingId", "Coating", materials("coatings")),
    field("filmId", "Film", [{ value: "none", label: "No film" }, ...materials("films")]),
    field(
      "verdict",
      "Verdict",
      Object.entries(verdictWords).map(([value, { word }]) => ({ value, label: word })),
    ),
    field("tabletKind", "Tablet", [
      { value: "transmission", label: "Film tablet" },
      { value: "timed", label: "Strip uncovered in steps" },
      { value: "levels", label: "Strip of grey levels" },
      { value: "sheet", label: "Wedge sheet" },
    ]),
    {
      name: "search",
      id: "filter-search",
      kind: "text",
      label: "Name, material, note or day",
      attributes: { maxlength: 120 },
    },
    { name: "from", id: "filter-from", kind: "date", label: "From day" },
    { name: "to", id: "filter-to", kind: "date", label: "Before day" },
  ];
}

/** The filter of a query; empty fields are as good as absent. */
function filterOf(query: FormValues): TestFilter {
  return testFilterSchema.parse({
    ...Object.fromEntries(Object.entries(query).filter(([, value]) => value.trim() !== "")),
    limit: pageSize,
  });
}

export function testPageRoutes(tools: Tools): Router {
  const router = Router();
  const { store } = tools;
  const form = express.urlencoded({ extended: false, limit: maxFormBytes });

  router.get("/tests", (request, response) => {
    const query = formValuesFrom(request.query);
    const { tests, next } = store.tests.list(filterOf(query));
    const nextQuery = new URLSearchParams({ ...query, ...(next === null ? {} : { after: next }) });
    renderPage(
      response,
      "tests/list",
      { title: "Tests", here: "tests" },
      {
        cards: tests.map((test) => testCard(store, test)),
        filters: filterFields(store),
        values: query,
        isFiltered: Object.entries(query).some(([name, value]) => name !== "after" && value.trim() !== ""),
        nextHref: next === null ? null : `/tests?${nextQuery.toString()}`,
        isContinued: textOf(query, "after") !== "",
      },
    );
  });

  router.get("/tests/:id", modelReady(tools), (request, response) => {
    const test = store.tests.get(String(request.params["id"]));
    const frame = { title: testTitle(store, test), here: "tests", record: `tests/${test.id}`, blues: bluesHref(test) };
    renderPage(response, "tests/show", frame, resultView(store, test, standingAmongTests(tools, test)));
  });

  router.get("/tests/:id/large", modelReady(tools), (request, response) => {
    const test = store.tests.get(String(request.params["id"]));
    renderPage(
      response,
      "tests/large",
      {
        title: testTitle(store, test),
        here: "tests",
        scripts: ["at-the-box"],
        record: `tests/${test.id}`,
        blues: bluesHref(test),
      },
      resultView(store, test, standingAmongTests(tools, test)),
    );
  });

  function showCorners(
    response: Parameters<typeof renderPage>[0],
    test: SavedTest,
    problem: InputError | null,
    values: FormValues,
  ): void {
    const { value: sent } = cornersFrom(values);
    const { view, data } = cornersPage({
      action: `/tests/${test.id}/corners`,
      lead:
        "Drag the four handles onto the corners of the tablet, step 1 at the first handle's end. The densities " +
        "beside it follow.",
      notice: problem === null ? null : { tone: "stop", text: problem.detail },
      pictureId: test.pictureId,
      picture: test.reading.image,
      corners: sent ?? test.reading.location.corners,
      tablet: test.request.tablet,
      reading: problem === null ? test.reading : null,
      isPlaceKnown: true,
      carried: {},
      saveLabel: "Keep these corners",
      back: { href: `/tests/${test.id}`, label: "Leave as it was" },
    });
    renderPage(
      response,
      "tests/corners",
      {
        title: `Corners: ${testTitle(store, test)}`,
        here: "tests",
        scripts: ["corners"],
        record: `tests/${test.id}`,
        data,
        status: problem === null ? 200 : problemFrom(problem).status,
      },
      view,
    );
  }

  router.get("/tests/:id/corners", (request, response) => {
    showCorners(response, store.tests.get(request.params.id), null, {});
  });

  router.post("/tests/:id/corners", form, async (request, response) => {
    const { id } = request.params;
    const test = store.tests.get(id);
    const values = formValuesFrom(request.body);
    const { value: corners, errors } = cornersFrom(values);
    try {
      if (errors["corners"] !== undefined) throw new InputError("bad-request", errors["corners"], { field: "corners" });
      await rereadTest(tools, id, { corners: corners ?? null });
      response.redirect(303, `/tests/${id}`);
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      showCorners(response, test, error, values);
    }
  });

  function showEdit(
    response: Parameters<typeof renderPage>[0],
    test: SavedTest,
    values: FormValues,
    errors: FieldErrors,
    status: number,
  ): void {
    renderPage(
      response,
      "tests/new",
      { title: `Change: ${testTitle(store, test)}`, here: "tests", scripts: ["new-test"], status },
      {
        ...testFormView({
          action: `/tests/${test.id}/edit`,
          values,
          errors,
          photo: false,
          materials: materialFields(store, values, errors),
          ownTablets: store.tablets.list(),
          otherStrips: otherStrips(store, test),
          lead: "What was written about this test. The picture is read again where that matters.",
          sendLabel: "Keep the changes",
        }),
        version: test.updatedAt,
        changed: errors["version"] === undefined ? null : { words: errors["version"], href: `/tests/${test.id}` },
        furtherOpen: true,
      },
    );
  }

  router.get("/tests/:id/edit", (request, response) => {
    const test = store.tests.get(request.params.id);
    showEdit(response, test, formValuesOf(test.request), {}, 200);
  });

  router.post("/tests/:id/edit", form, async (request, response) => {
    const { id } = request.params;
    const test = store.tests.get(id);
    const values: FormValues = request.is("multipart/form-data")
      ? (await receiveUpload(request, response)).fields
      : formValuesFrom(request.body);
    const { request: asked, errors } = testFormFrom(values, chosenMaterials(store, values), store.tablets.find);
    if (asked === null) {
      showEdit(response, test, values, errors, 400);
      return;
    }
    try {
      // The form shows no corners: they stay as they are. What it shows and was emptied is forgotten.
      const { corners: _corners, ...written } = withOwnDepth(values, withMaterialsAdded(tools, values, asked), (each) =>
        depthOfCoating(store, each),
      );
      const emptied = Object.fromEntries(
        [
          "filmId",
          // A strip that was drawn from an instrument's numbers has nothing else to be read by.
          ...(test.request.instrument?.isDrawn === true ? [] : ["instrument"]),
          "reference",
          "exposureSeconds",
          "madeAt",
          "lampDistanceMm",
          "lampHours",
          "sun",
          "humidityPercent",
          "temperatureC",
          "coatingGradientShare",
          "headToTailTestId",
        ].map((name) => [name, null]),
      );
      const seenVersion = textOf(values, "version") || undefined;
      await rereadTest(tools, id, { ...emptied, ...written }, { seenVersion });
      response.redirect(303, `/tests/${id}`);
    } catch (error) {
      const trouble = formTrouble(error, { field: "tabletChoice" });
      showEdit(response, test, values, trouble.errors, trouble.status);
    }
  });

  router.get("/tests/:id/delete", (request, response) => {
    const test = store.tests.get(request.params.id);
    renderPage(
      response,
      "tests/delete",
      { title: "Delete this test?", here: "tests" },
      {
        id: test.id,
        name: testTitle(store, test),
        materials: materialsText(store, test.request),
        day: formatDay(test.request.madeAt ?? test.createdAt),
        pictureId: test.pictureId,
        leftOut: store.changes.leftOut().get(test.id) ?? null,
      },
    );
  });

  router.post("/tests/:id/counting", form, (request, response) => {
    const { id } = store.tests.get(String(request.params["id"]));
    const reason = textOf(formValuesFrom(request.body), "reason");
    leaveTestOut(tools, id, reason === "" ? null : reason.slice(0, 200));
    response.redirect(303, `/tests/${id}`);
  });

  router.post("/tests/:id/delete", form, (request, response) => {
    deleteTest(tools, request.params.id);
    response.redirect(303, "/tests");
  });

  return router;
}
