// The API's description of itself.
import { Router, type Express } from "express";
import { version } from "#src/version.ts";
import { openApiDocument } from "#src/web/openapi/document.ts";
import { operations } from "#src/web/openapi/operations.ts";
import { knownRoutes } from "./api-end.ts";

/** Serves the document of every API route that the app has, drawn once when first asked for. */
export function openApiRoutes(app: Express): Router {
  const router = Router();
  let document: Record<string, unknown> | undefined;
  router.get("/api/openapi.json", (_request, response) => {
    document ??= openApiDocument({ routes: apiRoutesOf(app), operations, version });
    response.json(document);
  });
  return router;
}

/** "GET /api/tests/{id}" and so on, in order of declaration. */
export function apiRoutesOf(app: Express): string[] {
  const routes = knownRoutes(app).filter(({ path }) => path.startsWith("/api/"));
  return [...new Set(routes.map(({ method, path }) => `${method} ${path.replace(/:(\w+)/g, "{$1}")}`))];
}
