// The map of a bed to take away: as a drawing, as a picture, as a table.
import { Router, type Response } from "express";
import { InputError } from "#shared/errors.ts";
import { evennessTable } from "#src/studio/lamps/evenness-table.ts";
import { paintDrawing } from "#src/studio/paint-plot.ts";
import type { Tools } from "#src/studio/tools.ts";
import { asFile, drawn } from "#src/web/parts/drawing.ts";
import { evennessMapView } from "./map-view.ts";

/** What the map is coloured by on its own; on the page static/styles/prints.css says the same. */
const mapStyle =
  "text{font-family:sans-serif}.bed-back{fill:#fdf9f0}.bed-cell{fill:#0c2a52}" +
  ".bed-contour{fill:none;stroke:#fdf9f0;stroke-width:1.5}" +
  ".bed-work{fill:none;stroke:#111;stroke-width:3;stroke-dasharray:10 6}" +
  ".bed-label{font-weight:600;font-size:20px;fill:#111;stroke:#fdf9f0;stroke-width:5;paint-order:stroke}" +
  ".bed-percent{font-size:15px;font-weight:400}.bed-spot{fill:none;stroke:#fdf9f0;stroke-width:3;stroke-dasharray:3 4}";

export function mapDownloadRoutes(tools: Tools): Router {
  const router = Router();
  const { store } = tools;

  function mapOf(id: string) {
    const map = store.evennessMaps.find(id);
    if (map === undefined) throw new InputError("not-found", "There is no such map; it may not have been kept.");
    return map;
  }
  const drawingOf = (response: Response, id: string): Promise<string> => {
    const map = evennessMapView(store, mapOf(id), "");
    return drawn(response.app, "evenness/_map-drawing", { map, style: mapStyle });
  };
  const named = (response: Response, ending: string): Response => asFile(response, ["map of the light"], ending);

  router.get("/evenness/maps/:id.csv", (request, response) => {
    const table = evennessTable(mapOf(request.params.id));
    named(response, "csv").send(table);
  });
  router.get("/evenness/maps/:id.svg", async (request, response) => {
    const svg = await drawingOf(response, request.params.id);
    named(response, "svg").send(svg);
  });
  router.get("/evenness/maps/:id.png", async (request, response) => {
    const png = await paintDrawing(tools, await drawingOf(response, request.params.id));
    named(response, "png").send(Buffer.from(png));
  });
  return router;
}
