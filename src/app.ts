// Wires the parts together. The only file that knows all of them.
import express, { type Express } from "express";
import helmet from "helmet";
import { join } from "node:path";
import { version } from "#src/version.ts";
import type { Settings } from "#src/settings.ts";
import { answerProblem } from "#src/web/problem.ts";
import { pageRoutes } from "#src/web/pages/page-routes.ts";
import { answerProblemPage, pageNotFound } from "#src/web/pages/problem-page.ts";
import { contentPolicy } from "#src/web/content-policy.ts";

export interface Dependencies {
  readonly settings: Settings;
}

/** The web application, not yet listening. */
export function createApp({ settings }: Dependencies): Express {
  const app = express();
  app.set("view engine", "ejs");
  app.set("views", join(settings.rootDir, "views"));
  app.disable("x-powered-by");
  app.use(helmet(contentPolicy));
  app.use(express.static(join(settings.rootDir, "static")));
  app.get("/api/health", (_request, response) => {
    response.json({ ok: true, version });
  });
  app.use(pageRoutes());
  app.use(pageNotFound);
  app.use(answerProblemPage);
  app.use(answerProblem);
  return app;
}
