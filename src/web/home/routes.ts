// The first page: the studio's board, or three doors while nothing is saved yet.
import { Router } from "express";
import type { Tools } from "#src/studio/tools.ts";
import { safetyOf } from "#src/studio/safekeeping/keep-safe.ts";
import { safetyWords } from "#shared/words/safety-words.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { newestCards } from "#src/web/tests/card.ts";
import { boardOf } from "./board.ts";
import { sparkHeight, sparkWidth } from "./spark-curve.ts";
import { modelReady } from "#src/web/parts/model-ready.ts";

/** Newest tests listed below the board. */
const shownTests = 3;

const doors = [
  {
    icon: "light",
    href: "/studio",
    title: "I have a UV box",
    text: "One test print tells the time for this box, this paper or cloth, this coating.",
  },
  { icon: "sun", href: "/sun", title: "I print by the sun", text: "How long today, at this hour." },
  {
    icon: "negative",
    href: "/sheets",
    title: "I make negatives",
    text: "From a printed wedge sheet to a negative with the right tones.",
  },
] as const;

export function homeRoutes(tools: Pick<Tools, "store" | "modelThread">): Router {
  const router = Router();
  const { store } = tools;
  router.get("/", modelReady(tools), (_request, response) => {
    const now = new Date();
    const safety = safetyOf({ store }, now);
    const newest = newestCards(store, { limit: shownTests });
    const board = newest.length === 0 ? null : boardOf({ store }, now);
    renderPage(
      response,
      "home",
      {
        title: board === null ? "From one test print to an exposure time" : "The studio's board",
        here: "home",
        // Also where nothing runs yet: another device may begin.
        scripts: board === null ? [] : ["print-timers"],
      },
      {
        board,
        doors: board === null ? doors : [],
        newest,
        reminder: safety.isDue ? safetyWords(safety) : null,
        sparkWidth,
        sparkHeight,
      },
    );
  });
  return router;
}
