// GET /parts, for developers: every component in every state. It is always served, and nothing links to it.
import { Router } from "express";
import { renderPage } from "#src/web/parts/render.ts";
import { showcaseView } from "./view.ts";

export function showcaseRoutes(): Router {
  const router = Router();
  router.get("/parts", (_request, response) => {
    renderPage(response, "showcase/show", { title: "Parts of the pages" }, showcaseView());
  });
  return router;
}
