// The button on the first page that loads the invented studio.
import { Router } from "express";
import { join } from "node:path";
import type { Settings } from "#src/settings.ts";
import { loadSamples } from "#src/studio/safekeeping/load-samples.ts";
import type { Tools } from "#src/studio/tools.ts";

export function demoRoutes(tools: Tools & { readonly settings: Settings }): Router {
  const router = Router();
  router.post("/demo", async (_request, response) => {
    await loadSamples(tools, join(tools.settings.rootDir, "samples"));
    response.redirect(303, "/");
  });
  return router;
}
