// The tone curve of a test over HTTP: as JSON and in every open format.
import { Router, type Request, type Response } from "express";
import { correctionQuerySchema, type FilmSuit } from "#shared/schema/correction.ts";
import { filmSuitWords } from "#shared/words/negatives/film-suit-words.ts";
import {
  correctionCgats,
  correctionCsv,
  correctionCube,
  correctionPng,
  correctionProfile,
} from "#src/studio/negatives/correction-files.ts";
import { correctionOfTest, type TestCorrection } from "#src/studio/negatives/correct.ts";
import { filmSuitOfTest } from "#src/studio/negatives/film-suit-of-test.ts";
import type { Tools } from "#src/studio/tools.ts";
import { plainFileName } from "#src/web/file-name.ts";

export function correctionRoutes({ store }: Pick<Tools, "store">): Router {
  const router = Router();
  const asked = (request: Request<{ id: string }>) => {
    const {
      target,
      levels: count,
      space,
      pointsTool,
      pointsWithin,
      ...use
    } = correctionQuerySchema.parse(request.query);
    const points = { tool: pointsTool, withinLevels: pointsWithin };
    const made = correctionOfTest({ store }, { testId: request.params.id, target, use, points });
    const levels =
      count === 256 ? made.correction.levels : Array.from(made.table(count), (level) => Math.round(level * 1e4) / 1e4);
    return { made, levels, space };
  };
  const answerJson = (request: Request<{ id: string }>, response: Response) => {
    const { made, levels } = asked(request);
    response.json({
      ...made.correction,
      levels,
      filmSuit: filmSuitAnswer(filmSuitOfTest({ store }, made)),
      calibration: made.calibration,
    });
  };
  router.get("/api/tests/:id/correction", answerJson);
  router.get("/api/tests/:id/correction.json", answerJson);
  router.get("/api/tests/:id/correction.csv", (request, response) => {
    const { made, levels } = asked(request);
    sendFile(response, made, { extension: "csv", type: "text/csv; charset=utf-8" }, correctionCsv(levels));
  });
  router.get("/api/tests/:id/correction.txt", (request, response) => {
    const { made, levels } = asked(request);
    sendFile(response, made, { extension: "txt", type: "text/plain; charset=utf-8" }, correctionCgats(made, levels));
  });
  router.get("/api/tests/:id/correction.icc", (request, response) => {
    const { made, space } = asked(request);
    sendFile(response, made, { extension: "icc", type: "application/vnd.iccprofile" }, correctionProfile(made, space));
  });
  router.get("/api/tests/:id/correction.cube", (request, response) => {
    const { made, levels } = asked(request);
    sendFile(response, made, { extension: "cube", type: "text/plain; charset=utf-8" }, correctionCube(made, levels));
  });
  router.get("/api/tests/:id/correction.png", (request, response) => {
    const { made } = asked(request);
    sendFile(response, made, { extension: "png", type: "image/png" }, correctionPng(made));
  });
  return router;
}

/** Every figure, null where it does not belong to the code. */
function filmSuitAnswer(suit: FilmSuit): object {
  return {
    whiteFromLevel: null,
    lessInkShare: null,
    levelsGained: null,
    excessDensity: null,
    veilDensity: null,
    shortDensity: null,
    ...suit,
    message: filmSuitWords(suit),
  };
}

function sendFile(
  response: Response,
  { test, calibration }: TestCorrection,
  { extension, type }: { extension: string; type: string },
  body: string | Uint8Array,
): void {
  response
    .type(type)
    .attachment(`${plainFileName(["correction", calibration.testName || test.id])}.${extension}`)
    .type(type)
    .send(typeof body === "string" ? body : Buffer.from(body));
}
