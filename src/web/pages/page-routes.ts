// All page routes, in one router. A new page is one line here and one in the navigation.
import { Router } from "express";
import { homeRoutes } from "#src/web/pages/home.ts";
import { preferencesRoutes } from "#src/web/pages/preferences.ts";

export function pageRoutes(): Router {
  const router = Router();
  router.use(preferencesRoutes());
  router.use(homeRoutes());
  return router;
}
