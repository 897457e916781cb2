// The tone curve of a test over HTTP: as JSON and in every open format.
import { Router, type Request, type Response } from "express";
import { correctionTable } from "#shared/correction/correction.ts";
import { correctionQuerySchema } from "#shared/schema/correction.ts";
import { cgatsText } from "#src/output/cgats.ts";
import { csvText } from "#src/output/csv.ts";
import { deviceLinkProfile } from "#src/output/icc-device-link.ts";
import { tablePng } from "#src/output/png.ts";
import { correctionOfTest, type TestCorrection } from "#src/studio/correct.ts";
import type { Tools } from "#src/studio/tools.ts";
import { plainFileName } from "#src/web/file-name.ts";

export function correctionRoutes({ store }: Pick<Tools, "store">): Router {
  const router = Router();
  const asked = (request: Request<{ id: string }>) => {
    const { target, levels: count, space, ...use } = correctionQuerySchema.parse(request.query);
    const made = correctionOfTest({ store }, { testId: request.params.id, target, use });
    const levels = count === 256 ? made.correction.levels : Array.from(correctionTable({ tones: made.tones, target }, count), (level) => Math.round(level * 1e4) / 1e4);
    return { made, levels, space };
  };
  const answerJson = (request: Request<{ id: string }>, response: Response) => {
    const { made, levels } = asked(request);
    response.json({ ...made.correction, levels, calibration: made.calibration });
  };
  router.get("/api/tests/:id/correction", answerJson);
  router.get("/api/tests/:id/correction.json", answerJson);
  router.get("/api/tests/:id/correction.csv", (request, response) => {
    const { made, levels } = asked(request);
    sendFile(response, made, { extension: "csv", type: "text/csv; charset=utf-8" }, csvText(["wanted_level", "level_to_send"], levels.map((level, index) => [(index * 255) / (levels.length - 1), level])));
  });
  router.get("/api/tests/:id/correction.txt", (request, response) => {
    const { made, levels } = asked(request);
    sendFile(response, made, { extension: "txt", type: "text/plain; charset=utf-8" }, correctionCgats(made, levels));
  });
  router.get("/api/tests/:id/correction.icc", (request, response) => {
    const { made, space } = asked(request);
    const { calibration, correction } = made;
    const description = `Wedgewright tone correction (${correction.target}): ${[calibration.testName, calibration.lamp, calibration.support, calibration.coating, calibration.film].filter((part) => part !== "").join(", ")}`;
    sendFile(response, made, { extension: "icc", type: "application/vnd.iccprofile" }, deviceLinkProfile({ description, madeAt: new Date(calibration.madeAt), space, curve: correction.levels.map((level) => level / 255) }));
  });
  router.get("/api/tests/:id/correction.png", (request, response) => {
    const { made } = asked(request);
    sendFile(response, made, { extension: "png", type: "image/png" }, tablePng(made.correction.levels));
  });
  return router;
}

function sendFile(response: Response, { test, calibration }: TestCorrection, { extension, type }: { extension: string; type: string }, body: string | Uint8Array): void {
  response.type(type).attachment(`${plainFileName(["correction", calibration.testName || test.id])}.${extension}`).type(type).send(typeof body === "string" ? body : Buffer.from(body));
}

/** Two tables: the curve itself, then the tones it was drawn from. */
function correctionCgats({ correction, calibration }: TestCorrection, levels: readonly number[]): string {
  const header = (descriptor: string): [string, string][] => [
    ["ORIGINATOR", `Wedgewright ${calibration.madeBy}`],
    ["DESCRIPTOR", descriptor],
    ["CREATED", calibration.madeAt],
    ["PRINT_CONDITIONS", [calibration.lamp, calibration.support, calibration.coating, calibration.film, calibration.device, calibration.exposureSeconds === null ? "" : `${calibration.exposureSeconds} s`].filter((part) => part !== "").join("; ")],
  ];
  const notes: [string, string][] = [
    ["TEST_ID", calibration.testId],
    ["TEST_NAME", calibration.testName],
    ["TARGET", correction.target],
    ...(calibration.invented ? [["REMARK", "Invented demo data, not a real print"] as [string, string]] : []),
  ];
  return cgatsText([
    {
      header: header("Tone correction: grey levels of a positive, wanted and to send to the film printer, 0-255"),
      notes,
      fields: ["SAMPLE_ID", "LEVEL_WANTED", "LEVEL_TO_SEND"],
      ownFields: ["LEVEL_WANTED", "LEVEL_TO_SEND"],
      rows: levels.map((level, index) => [index + 1, (index * 255) / (levels.length - 1), level]),
    },
    {
      header: header("Tones measured on the print: grey level sent as a positive, visual density above paper, L*, standard uncertainty of density"),
      notes,
      fields: ["SAMPLE_ID", "LEVEL_SENT", "D_VIS", "LAB_L", "STDEV_D"],
      ownFields: ["LEVEL_SENT", "STDEV_D"],
      rows: correction.tones.map((tone, index) => [index + 1, tone.level, tone.density, tone.lightness, tone.sigma]),
    },
  ]);
}
