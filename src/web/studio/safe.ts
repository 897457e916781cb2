// "Keep it safe": everything as one file, in again after a look at it, and back to what was here before.
import express, { Router } from "express";
import { InputError } from "#shared/errors.ts";
import { formatDay, formatDayAndTime } from "#shared/format/instant.ts";
import type { KeptReason } from "#src/store/safekeeping/kept-states.ts";
import type { Restored } from "#src/studio/safekeeping/back-up.ts";
import {
  lookIntoBackup,
  lookThroughStore,
  restoreHeldBackup,
  restoreKeptState,
  safetyOf,
} from "#src/studio/safekeeping/keep-safe.ts";
import type { Tools } from "#src/studio/tools.ts";
import { withSentBackup } from "#src/web/backup-upload.ts";
import { problemFrom } from "#src/web/problem.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { lookThroughView } from "./look-through-view.ts";
import { safetyWords } from "#shared/words/safety-words.ts";

const reasonWords: Readonly<Record<KeptReason, string>> = {
  daily: "kept once a day",
  "before-migration": "kept before a newer version of Wedgewright changed the database",
  replaced: "what was here before a backup was restored",
};

export function safePageRoutes(tools: Tools): Router {
  const router = Router();
  const form = express.urlencoded({ extended: false, limit: 10_000 });

  function show(
    response: express.Response,
    { problem, restored, status = 200 }: { problem?: string; restored?: Restored; status?: number } = {},
  ): void {
    const safety = safetyOf(tools, new Date());
    renderPage(
      response,
      "studio/safe",
      { title: "Keep it safe", here: "studio", status },
      {
        words: safetyWords(safety),
        isDue: safety.isDue,
        problem: problem ?? null,
        restored: restored === undefined ? null : restoredView(restored),
        states: tools.store.keptStates().map(({ name, reason, at }) => ({
          name,
          day: formatDayAndTime(at.toISOString()),
          words: reasonWords[reason],
          isReplaced: reason === "replaced",
        })),
      },
    );
  }

  /** Trouble with a backup goes back to the page. */
  async function orShow(response: express.Response, work: () => Promise<void>): Promise<void> {
    try {
      await work();
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      show(response, { problem: error.detail, status: problemFrom(error).status });
    }
  }

  router.get("/studio/safe", (_request, response) => show(response));
  router.post("/studio/safe/through", async (_request, response) => {
    await orShow(response, async () => {
      const view = lookThroughView(await lookThroughStore(tools));
      renderPage(response, "studio/safe-through", { title: "Everything looked through", here: "studio" }, view);
    });
  });
  router.post("/studio/safe/look", async (request, response) => {
    await orShow(response, async () => {
      const held = await withSentBackup(request, (source) => lookIntoBackup(tools, source));
      const { contents } = held;
      renderPage(
        response,
        "studio/safe-look",
        { title: "Restore this backup?", here: "studio" },
        {
          id: held.id,
          savedOn: formatDayAndTime(held.createdAt),
          version: held.version,
          rows: [
            ["Tests", String(contents.tests)],
            ["Newest test", contents.newestTestAt === null ? "none" : formatDay(contents.newestTestAt)],
            ["Prints in the log", String(contents.prints)],
            ["Lamps, papers, coatings and films", String(contents.materials)],
            ["Pictures", String(held.pictures)],
          ],
          trouble: troubleWords(held),
          here: tools.store.tests.count(),
        },
      );
    });
  });
  router.post("/studio/safe/restore/:id", form, async (request, response) => {
    await orShow(response, async () =>
      show(response, { restored: await restoreHeldBackup(tools, String(request.params["id"])) }),
    );
  });
  router.post("/studio/safe/states/:name", form, async (request, response) => {
    await orShow(response, async () =>
      show(response, { restored: await restoreKeptState(tools, String(request.params["name"])) }),
    );
  });
  return router;
}

function restoredView(restored: Restored) {
  return {
    words: `${restored.tests} tests and ${restored.pictures} pictures, as of ${formatDayAndTime(restored.createdAt)}.`,
    trouble: troubleWords(restored),
    replaced: restored.replaced,
  };
}

function troubleWords({ missing, damaged }: Pick<Restored, "missing" | "damaged">): string | null {
  const count = missing.length + damaged.length;
  if (count === 0) return null;
  return (
    `${count} ${count === 1 ? "picture is" : "pictures are"} missing or damaged in it. What was measured in ` +
    `${count === 1 ? "it" : "them"} is there; ${count === 1 ? "it" : "they"} cannot be measured again.`
  );
}
