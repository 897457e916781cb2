// The printable wedge sheet and ink sheet, and what an ink sheet's print tells.
import { Router, type Request, type Response } from "express";
import { inkReadingRequestSchema, inkSheetRequestSchema } from "#shared/schema/ink.ts";
import { sheetRequestSchema } from "#shared/schema/sheet.ts";
import { checkSheet } from "#src/studio/negatives/check-sheet.ts";
import { correctionOfSheet, makeInkSheet, makeSheet, type SheetFile } from "#src/studio/negatives/make-sheet.ts";
import { readInkSheet } from "#src/studio/negatives/read-ink-sheet.ts";
import type { Tools } from "#src/studio/tools.ts";
import { jsonField, printPicturesFrom, receiveUpload } from "#src/web/upload.ts";
import { closingSignal } from "#src/web/parts/closing-signal.ts";

export function sheetRoutes(tools: Tools): Router {
  const router = Router();
  const send =
    (format: "png" | "pdf") =>
    async (request: Request, response: Response): Promise<void> => {
      const sheet = sheetRequestSchema.parse(request.query);
      const file = await makeSheet(tools, {
        request: sheet,
        format,
        correction: correctionOfSheet(tools, sheet),
        signal: closingSignal(response),
      });
      sendFile(request, response, format, file);
    };
  router.get("/api/sheets/default.png", send("png"));
  router.get("/api/sheets/default.pdf", send("pdf"));
  const sendInks =
    (format: "png" | "pdf") =>
    async (request: Request, response: Response): Promise<void> => {
      const asked = inkSheetRequestSchema.parse(request.query);
      sendFile(
        request,
        response,
        format,
        await makeInkSheet(tools, { request: asked, format, signal: closingSignal(response) }),
      );
    };
  router.get("/api/sheets/ink.png", sendInks("png"));
  router.get("/api/sheets/ink.pdf", sendInks("pdf"));
  router.post("/api/ink-sheets", async (request, response) => {
    const upload = await receiveUpload(request, response);
    const { photos } = printPicturesFrom(upload);
    response.json(
      await readInkSheet(tools, {
        picture: photos[0] as Uint8Array,
        request: inkReadingRequestSchema.parse(jsonField(upload, "request")),
      }),
    );
  });
  router.get("/api/tests/:id/sheet-check", (request: Request<{ id: string }>, response) => {
    response.json(checkSheet(tools, request.params.id));
  });
  return router;
}

function sendFile(request: Request, response: Response, format: "png" | "pdf", file: SheetFile): void {
  response
    .type(format === "png" ? "image/png" : "application/pdf")
    .setHeader(
      "Content-Disposition",
      `${request.query.download === undefined ? "inline" : "attachment"}; filename="${file.name}"`,
    );
  response.send(Buffer.from(file.bytes.buffer, file.bytes.byteOffset, file.bytes.byteLength));
}
