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

/** Most letters of a search. */
const mostWords = 120;
/** So many tests are seen at a glance, and need no search. */
const fewToSearch = 12;

/** What the list of offered tests leaves out; null where it holds all. */
function offeredWords(words: string, found: number): string | null {
  const limit = `only the newest ${offeredTests} are offered`;
  if (words === "") return found > offeredTests ? `There are more tests: ${limit}. Search for an older one.` : null;
  if (found === 0) return `No test that could be compared answers to “${words}”.`;
  return found > offeredTests ? `More tests answer to “${words}”: ${limit}.` : null;
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
    const [words = ""] = idsFrom(request.query["words"]).map((each) => each.trim().slice(0, mostWords));
    const search = words === "" ? {} : { search: words };
    // One more than is shown, to know whether others were left out.
    const found = newestCards(store, { ...search, limit: offeredTests + 1 }, isForTime);
    const offered = found.slice(0, offeredTests);
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
        words,
        offeredWords: offeredWords(words, found.length),
        isSearched: words !== "" || found.length > fewToSearch,
      },
    );
  });
  return router;
}
