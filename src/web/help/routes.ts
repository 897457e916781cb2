// Help inside the program: the documentation and the terms of the trade.
import { join } from "node:path";
import express, { Router } from "express";
import { InputError } from "#shared/errors.ts";
import { terms } from "#shared/words/terms.ts";
import { rootDir } from "#src/settings.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { helpSections, readHelpPages, type HelpPage } from "./pages.ts";

export function helpRoutes(): Router {
  const router = Router();
  let kept: ReadonlyMap<string, HelpPage> | null = null;
  const pages = (): ReadonlyMap<string, HelpPage> => (kept ??= readHelpPages());

  router.get("/help", (_request, response) => {
    const sections = helpSections.map(({ folder, title }) => ({
      title,
      pages: [...pages().values()].filter(({ path }) => path.startsWith(`${folder}/`)),
    }));
    renderPage(response, "help/list", { title: "Help", here: "help" }, { sections });
  });

  router.get("/help/terms", (_request, response) => {
    renderPage(response, "help/terms", { title: "Terms of the trade", here: "help" }, { terms });
  });

  router.use("/help/images", express.static(join(rootDir, "docs", "images")));

  router.get("/help/*path", (request, response) => {
    const page = pages().get((request.params as { path: string[] }).path.join("/"));
    if (page === undefined)
      throw new InputError("not-found", "There is no such page of help. The list of all is at /help.");
    renderPage(response, "help/page", { title: page.title, here: "help" }, { html: page.html });
  });
  return router;
}
