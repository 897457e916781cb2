// All page routes, in one router. A new page is one line here and one in the navigation.
import { Router } from "express";
import type { Tools } from "#src/studio/tools.ts";
import { comparisonPageRoutes } from "#src/web/comparisons/routes.ts";
import { exposurePageRoutes } from "#src/web/exposures/routes.ts";
import { evennessPageRoutes } from "#src/web/evenness/routes.ts";
import { homeRoutes } from "#src/web/home/routes.ts";
import { materialPageRoutes } from "#src/web/materials/routes.ts";
import { newTestRoutes } from "#src/web/tests/new.ts";
import { objectPageRoutes } from "#src/web/photograms/routes.ts";
import { pictureRoutes } from "#src/web/pictures/routes.ts";
import { correctionPageRoutes } from "#src/web/corrections/routes.ts";
import { negativePageRoutes } from "#src/web/negatives/routes.ts";
import { preferencesRoutes } from "#src/web/home/preferences.ts";
import { printPageRoutes } from "#src/web/prints/routes.ts";
import { sheetPageRoutes } from "#src/web/sheets/routes.ts";
import { reportRoutes } from "#src/web/tests/report.ts";
import { binPageRoutes } from "#src/web/studio/bin.ts";
import { safePageRoutes } from "#src/web/studio/safe.ts";
import { shelfPageRoutes } from "#src/web/studio/shelf.ts";
import { studioPageRoutes } from "#src/web/studio/routes.ts";
import { sunPageRoutes } from "#src/web/sun/routes.ts";
import { testPageRoutes } from "#src/web/tests/routes.ts";

export function pageRoutes(tools: Tools): Router {
  const router = Router();
  router.use(preferencesRoutes());
  router.use(homeRoutes(tools));
  router.use(pictureRoutes(tools));
  router.use(newTestRoutes(tools));
  router.use(printPageRoutes(tools));
  router.use(sheetPageRoutes(tools));
  router.use(reportRoutes(tools));
  router.use(evennessPageRoutes(tools));
  router.use(objectPageRoutes(tools));
  router.use(safePageRoutes(tools));
  router.use(binPageRoutes(tools));
  router.use(shelfPageRoutes(tools));
  router.use(studioPageRoutes(tools));
  router.use(sunPageRoutes(tools));
  router.use(correctionPageRoutes(tools));
  router.use(negativePageRoutes(tools));
  router.use(testPageRoutes(tools));
  router.use(materialPageRoutes(tools));
  router.use(exposurePageRoutes(tools));
  router.use(comparisonPageRoutes(tools));
  return router;
}
