// The API's description of itself.
import { Router, type Express } from "express";
import { version } from "#src/version.ts";
import { openApiDocument } from "#src/web/openapi/document.ts";
import { operations } from "#src/web/openapi/operations.ts";
import { apiRoutesOf } from "./api-end.ts";

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
