// The first page: what to do in one sentence, and the four uses as short ways in.
import { Router } from "express";
import { renderPage } from "#src/web/pages/render.ts";

export function homeRoutes(): Router {
  const router = Router();
  router.get("/", (_request, response) => {
    renderPage(response, "home", { title: "From one test print to an exposure time", here: "home" }, {});
  });
  return router;
}
