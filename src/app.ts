// Wires the parts together. The only file that knows all of them.
import express, { type Express } from "express";
import helmet from "helmet";
import type { Server } from "node:http";
import { join } from "node:path";
import { version } from "#src/version.ts";
import type { Settings } from "#src/settings.ts";
import type { Tools } from "#src/studio/tools.ts";
import { apiEnd, answerProblemInApi } from "#src/web/api/api-end.ts";
import { sunRoutes } from "#src/web/api/sun.ts";
import { backupRoutes } from "#src/web/api/backup.ts";
import { exposureRoutes } from "#src/web/api/exposures.ts";
import { openApiRoutes } from "#src/web/api/openapi.ts";
import { filmMeasurementRoutes } from "#src/web/api/films.ts";
import { materialRoutes } from "#src/web/api/materials.ts";
import { calibrationRoutes } from "#src/web/api/calibrations.ts";
import { printRoutes } from "#src/web/api/prints.ts";
import { readingRoutes } from "#src/web/api/readings.ts";
import { sampleRoutes } from "#src/web/api/samples.ts";
import { correctionRoutes } from "#src/web/api/correction.ts";
import { clothRoutes } from "#src/web/api/cloth.ts";
import { fadingRoutes } from "#src/web/api/fading.ts";
import { changeRoutes } from "#src/web/api/changes.ts";
import { teachingRoutes } from "#src/web/api/teaching.ts";
import { evennessRoutes } from "#src/web/api/evenness.ts";
import { sheetRoutes } from "#src/web/api/sheets.ts";
import { photogramRoutes } from "#src/web/api/photograms.ts";
import { keptCurveRoutes } from "#src/web/api/kept-curves.ts";
import { madeNegativeRoutes } from "#src/web/api/made-negatives.ts";
import { negativeRoutes } from "#src/web/api/negatives.ts";
import { testRoutes } from "#src/web/api/tests.ts";
import { answerProblem } from "#src/web/problem.ts";
import { demoRoutes } from "#src/web/home/demo.ts";
import { pageRoutes } from "#src/web/page-routes.ts";
import { answerProblemPage, pageNotFound } from "#src/web/parts/problem-page.ts";
import { liveHub } from "#src/web/live/hub.ts";
import { liveRoutes } from "#src/web/live/routes.ts";
import { entryCodes } from "#src/studio/devices/entry-codes.ts";
import { noDoor } from "#src/studio/devices/network-door.ts";
import type { Access } from "#src/studio/devices/switch-devices.ts";
import { entryRoutes } from "#src/web/devices/entry.ts";
import { refuseStrangers, tellSpeakers } from "#src/web/devices/known-devices.ts";
import { devicePageRoutes } from "#src/web/devices/routes.ts";
import { contentPolicy } from "#src/web/content-policy.ts";
import { usePlainWords } from "#src/web/plain-issues.ts";
import { endStalledUploads } from "#src/web/stalled-uploads.ts";
import { answerUnreadable } from "#src/web/unreadable-requests.ts";
import { uploadRoom } from "#src/web/upload-room.ts";
import { whoMaySpeak } from "#src/web/who-may-speak.ts";

export interface Dependencies extends Tools {
  readonly settings: Settings;
  /** The door for phones; without one, as behind another server, devices come by that server's own way. */
  readonly access?: Access;
}

/** Most bytes of a JSON request; pictures come as multipart. */
const maxJsonBytes = 1024 * 1024;

/** How long an idle connection is kept open. */
const restingConnectionMs = 300_000;

/** What every server of ours allows, for this machine and for the network. */
export function prepareServer(server: Server): void {
  // A phone that rests between two requests would else find its connection closed under the next upload.
  server.keepAliveTimeout = restingConnectionMs;
  // Bodies that stall are ended one by one (src/web/stalled-uploads.ts); a large restore may rightly take longer than
  // five minutes.
  server.requestTimeout = 0;
  answerUnreadable(server);
}

/** The web application, not yet listening. */
export function createApp(dependencies: Dependencies): Express {
  const { settings, access = { door: noDoor(), codes: entryCodes() } } = dependencies;
  usePlainWords();
  const app = express();
  app.locals.uploadRoom = uploadRoom();
  app.set("view engine", "ejs");
  app.set("views", join(settings.rootDir, "views"));
  // Templates are read once, whatever the environment says: half of a page's time went into reading them anew.
  app.enable("view cache");
  app.disable("x-powered-by");
  app.use(helmet(contentPolicy));
  app.use(whoMaySpeak(settings));
  app.use(endStalledUploads());
  app.use(tellSpeakers(dependencies, settings.allowedHosts));
  app.use(entryRoutes(dependencies, access, settings));
  app.use(refuseStrangers);
  app.use(express.static(join(settings.rootDir, "static")));
  app.use("/api", express.json({ limit: maxJsonBytes }));
  app.get("/api/health", (_request, response) => {
    response.json({ ok: true, version });
  });
  app.use(sunRoutes(dependencies));
  app.use(openApiRoutes(app));
  app.use(materialRoutes(dependencies));
  app.use(readingRoutes(dependencies));
  app.use(testRoutes(dependencies));
  app.use(exposureRoutes(dependencies));
  app.use(filmMeasurementRoutes(dependencies));
  app.use(backupRoutes(dependencies));
  app.use(sampleRoutes(dependencies));
  app.use(correctionRoutes(dependencies));
  app.use(printRoutes(dependencies));
  app.use(calibrationRoutes(dependencies));
  app.use(evennessRoutes(dependencies));
  app.use(sheetRoutes(dependencies));
  app.use(negativeRoutes(dependencies));
  app.use(clothRoutes(dependencies));
  app.use(fadingRoutes(dependencies));
  app.use(changeRoutes(dependencies));
  app.use(teachingRoutes(dependencies));
  app.use(madeNegativeRoutes(dependencies));
  app.use(keptCurveRoutes(dependencies));
  app.use(photogramRoutes(dependencies));
  app.use(apiEnd(app));
  app.use(answerProblemInApi);
  app.use(devicePageRoutes(dependencies, access));
  app.use(liveRoutes(liveHub(dependencies.store.news)));
  app.use(demoRoutes(dependencies));
  app.use(pageRoutes(dependencies));
  app.use(pageNotFound);
  app.use(answerProblemPage);
  app.use(answerProblem);
  return app;
}
