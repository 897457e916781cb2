// The bin: what was deleted in the last 30 days, and the way back.
import express, { Router } from "express";
import { InputError } from "#shared/errors.ts";
import { formatDayAndTime } from "#shared/format/instant.ts";
import type { BinnedKind } from "#src/store/safekeeping/binned-things.ts";
import { bringBack, emptyBin, inBin } from "#src/studio/safekeeping/bin.ts";
import type { Tools } from "#src/studio/tools.ts";
import { problemFrom } from "#src/web/problem.ts";
import { renderPage } from "#src/web/parts/render.ts";

const kindWords: Readonly<Record<BinnedKind, string>> = {
  test: "test",
  print: "print",
  lamps: "lamp",
  supports: "paper or fabric",
  coatings: "coating",
  films: "film",
  stocks: "stock solution",
  tablets: "tablet",
};

export function binPageRoutes(tools: Pick<Tools, "store">): Router {
  const router = Router();

  function show(response: express.Response, problem: string | null, status: number): void {
    renderPage(
      response,
      "studio/bin",
      { title: "Bin", here: "studio", status },
      {
        problem,
        things: inBin(tools).map(({ name, kind, label, deletedAt }) => ({
          name,
          label: label === "" ? `A ${kindWords[kind]} without a name` : label,
          words: `${kindWords[kind]}, deleted on ${formatDayAndTime(deletedAt)}`,
        })),
      },
    );
  }

  router.get("/studio/bin", (_request, response) => show(response, null, 200));
  router.post("/studio/bin", (_request, response) => {
    emptyBin(tools);
    response.redirect(303, "/studio/bin");
  });
  router.post(
    "/studio/bin/:name",
    express.urlencoded({ extended: false, limit: 10_000 }),
    async (request, response) => {
      try {
        const { kind, id } = await bringBack(tools, String(request.params["name"]));
        const places = {
          test: `/tests/${id}`,
          print: `/prints/${id}`,
          stocks: "/studio/shelf",
          tablets: "/tablets",
        } as const;
        response.redirect(303, kind in places ? places[kind as keyof typeof places] : `/materials/${kind}/${id}`);
      } catch (error) {
        if (!(error instanceof InputError)) throw error;
        show(response, error.detail, problemFrom(error).status);
      }
    },
  );
  return router;
}
