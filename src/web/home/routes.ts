// The first page: what to do in one sentence, what is already known, and the four uses as short ways in.
import { Router } from "express";
import type { Tools } from "#src/studio/tools.ts";
import { safetyOf } from "#src/studio/safekeeping/keep-safe.ts";
import { safetyWords } from "#src/web/studio/safe-words.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { testCard } from "#src/web/tests/card.ts";

/** Calibrations shown on the first page. */
const shownTests = 6;

const uses = [
  {
    icon: "light",
    href: "/tests/new",
    title: "Calibrate a UV box",
    text: "One test print tells the time for this box, this paper, this coating.",
  },
  { icon: "sun", href: "/sun", title: "Expose by the sun", text: "How long today, at this hour, in this place." },
  {
    icon: "compare",
    href: "/comparisons",
    title: "Compare paper and cotton",
    text: "Two tests side by side: how much longer, how much weaker.",
  },
  {
    icon: "negative",
    href: "/negatives",
    title: "Correct the next negative",
    text: "From a printed wedge sheet to a negative with the right tones.",
  },
] as const;

export function homeRoutes({ store }: Pick<Tools, "store">): Router {
  const router = Router();
  router.get("/", (_request, response) => {
    const safety = safetyOf({ store }, new Date());
    const { tests } = store.tests.list({ limit: shownTests });
    renderPage(
      response,
      "home",
      { title: "From one test print to an exposure time", here: "home" },
      {
        uses,
        reminder: safety.isDue ? safetyWords(safety) : null,
        cards: tests.map((test) => testCard(store, test)),
        offersSamples: !tests.some((test) => test.invented),
      },
    );
  });
  return router;
}
