// All page routes, in one router. A new page is one line here and one in the navigation.
import { Router } from "express";
import type { Tools } from "#src/studio/tools.ts";
import { comparisonPageRoutes } from "#src/web/pages/comparisons.ts";
import { exposurePageRoutes } from "#src/web/pages/exposures.ts";
import { evennessPageRoutes } from "#src/web/pages/evenness.ts";
import { homeRoutes } from "#src/web/pages/home.ts";
import { materialPageRoutes } from "#src/web/pages/materials.ts";
import { newTestRoutes } from "#src/web/pages/new-test.ts";
import { objectPageRoutes } from "#src/web/pages/objects.ts";
import { pictureRoutes } from "#src/web/pages/pictures.ts";
import { correctionPageRoutes } from "#src/web/pages/correction.ts";
import { negativePageRoutes } from "#src/web/pages/negatives.ts";
import { preferencesRoutes } from "#src/web/pages/preferences.ts";
import { printPageRoutes } from "#src/web/pages/prints.ts";
import { sheetPageRoutes } from "#src/web/pages/sheets.ts";
import { reportRoutes } from "#src/web/pages/report.ts";
import { shelfPageRoutes } from "#src/web/pages/shelf.ts";
import { studioPageRoutes } from "#src/web/pages/studio.ts";
import { sunPageRoutes } from "#src/web/pages/sun.ts";
import { testPageRoutes } from "#src/web/pages/tests.ts";

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
