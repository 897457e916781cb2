// The printable wedge sheet.
import { Router, type Request, type Response } from "express";
import { sheetRequestSchema } from "#shared/schema/sheet.ts";
import { correctionMark } from "#shared/tablet/wedge-sheet-code.ts";
import { checkSheet } from "#src/studio/negatives/check-sheet.ts";
import { correctionOfTest } from "#src/studio/negatives/correct.ts";
import { makeSheet } from "#src/studio/negatives/make-sheet.ts";
import type { Tools } from "#src/studio/tools.ts";
import { closingSignal } from "#src/web/parts/closing-signal.ts";

export function sheetRoutes(tools: Tools): Router {
  const router = Router();
  const send =
    (format: "png" | "pdf") =>
    async (request: Request, response: Response): Promise<void> => {
      const sheet = sheetRequestSchema.parse(request.query);
      const correction =
        sheet.testId === undefined
          ? undefined
          : {
              levels: correctionOfTest(tools, { testId: sheet.testId, target: sheet.target }).correction.levels,
              mark: correctionMark(sheet.testId, sheet.target),
            };
      const file = await makeSheet(tools, {
        request: sheet,
        format,
        correction,
        signal: closingSignal(response),
      });
      response
        .type(format === "png" ? "image/png" : "application/pdf")
        .setHeader(
          "Content-Disposition",
          `${request.query.download === undefined ? "inline" : "attachment"}; filename="${file.name}"`,
        );
      response.send(Buffer.from(file.bytes.buffer, file.bytes.byteOffset, file.bytes.byteLength));
    };
  router.get("/api/sheets/default.png", send("png"));
  router.get("/api/sheets/default.pdf", send("pdf"));
  router.get("/api/tests/:id/sheet-check", (request: Request<{ id: string }>, response) => {
    response.json(checkSheet(tools, request.params.id));
  });
  return router;
}
