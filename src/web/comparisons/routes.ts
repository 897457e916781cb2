// Tests side by side: curves over each other, times against a chosen one, figures.
import { Router } from "express";
import { InputError } from "#shared/errors.ts";
import { comparisonRequestSchema } from "#shared/schema/comparisons.ts";
import { compareSavedTests } from "#src/studio/compare-saved-tests.ts";
import type { Tools } from "#src/studio/tools.ts";
import { comparisonView, type ComparisonView } from "./view.ts";
import { troubleOf } from "#src/web/parts/form-errors.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { cardsOf, isForTime, newestCards, offeredTests, type TestCard } from "#src/web/tests/card.ts";
import { modelReady } from "#src/web/parts/model-ready.ts";

/** Ids in a query: one, several, or none. */
function idsFrom(value: unknown): string[] {
  const list: unknown[] = Array.isArray(value) ? value : [value];
  return [...new Set(list.filter((each): each is string => typeof each === "string" && each !== ""))];
}

export function comparisonPageRoutes(tools: Pick<Tools, "store" | "modelThread">): Router {
  const router = Router();
  const { store } = tools;
  router.get("/comparisons", modelReady(tools), (request, response) => {
    const testIds = idsFrom(request.query["testId"]);
    const [reference] = idsFrom(request.query["reference"]);
    // The others are held against the first.
    const ordered = [...testIds].sort((a, b) => Number(b === reference) - Number(a === reference));
    let result: ComparisonView | null = null;
    let problem: string | null = null;
    let status = 200;
    if (testIds.length === 1) problem = "One test is ticked: tick at least one more below.";
    else if (testIds.length > 1) {
      try {
        result = comparisonView(compareSavedTests({ store }, comparisonRequestSchema.parse({ testIds: ordered })));
      } catch (error) {
        if (error instanceof InputError && error.code !== "bad-request") throw error;
        ({ words: problem, status } = troubleOf(error));
      }
    }
    const offered = newestCards(store, { limit: offeredTests }, isForTime);
    const chosenElsewhere = cardsOf(
      store,
      testIds.filter((id) => !offered.some((card) => card.id === id)),
    );
    const choice = (card: TestCard): object => ({
      id: card.id,
      title: card.title,
      materials: card.materials,
      day: card.day,
      time: card.time,
      isChosen: testIds.includes(card.id),
    });
    renderPage(
      response,
      "comparisons/show",
      { title: "Compare", here: "comparisons", status },
      {
        problem,
        result,
        choices: [...chosenElsewhere, ...offered].map(choice),
      },
    );
  });
  return router;
}
