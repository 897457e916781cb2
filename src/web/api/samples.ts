// The invented studio over HTTP.
import { Router } from "express";
import { join } from "node:path";
import type { Settings } from "#src/settings.ts";
import { loadSamples } from "#src/studio/safekeeping/load-samples.ts";
import type { Tools } from "#src/studio/tools.ts";

export function sampleRoutes(tools: Tools & { readonly settings: Settings }): Router {
  const router = Router();
  router.post("/api/samples", async (_request, response) => {
    const loaded = await loadSamples(tools, join(tools.settings.rootDir, "samples"));
    response.status(loaded.added > 0 ? 201 : 200).json(loaded);
  });
  return router;
}
