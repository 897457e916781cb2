// Makes the next negative: the picture through the correction of a test, at true size.
import { negativeToneTable } from "#shared/correction/negative-tone.ts";
import type { NegativeRequest } from "#shared/schema/negative.ts";
import { negativeWarningWords } from "#shared/words/negatives/correction-words.ts";
import { captionText } from "#shared/words/file-words.ts";
import { inWords } from "#shared/words/sentences.ts";
import type { Warning } from "#shared/schema/reading.ts";
import { refusal } from "#shared/words/refusal-words.ts";
import { negativePdf } from "#src/output/negative-pdf.ts";
import { packedPng } from "#src/output/png.ts";
import { correctionOfTest } from "./correct.ts";
import type { Tools } from "#src/studio/tools.ts";

export interface NegativeWish {
  readonly request: NegativeRequest;
  /** Picture file on the disk. */
  readonly file: string;
  /** Folder for temporary files; the caller removes it. */
  readonly workFolder: string;
  readonly signal?: AbortSignal | undefined;
  readonly onProgress?: ((share: number) => void) | undefined;
}

export interface NegativeFile {
  readonly bytes: Uint8Array;
  readonly type: "image/png" | "application/pdf";
  /** Words of the file name. */
  readonly nameWords: readonly string[];
  readonly warnings: readonly Warning[];
}

/** 16-bit greys of a positive. */
const greyCodes = 65_536;

/**
 * @throws InputError "bad-request" naming testId for an unknown test, "no-correction", and whatever is wrong with
 *   picture or size
 */
export async function makeNegative(
  { store, imaging }: Pick<Tools, "store" | "imaging">,
  { request, file, workFolder, signal, onProgress }: NegativeWish,
): Promise<NegativeFile> {
  const { testId, target, lampId, supportId, coatingId, filmId } = request;
  if (store.tests.find(testId) === undefined)
    throw refusal("bad-request", { code: "no-such-tone-test", id: testId }, { field: "testId" });
  const use = Object.fromEntries(
    Object.entries({ lampId, supportId, coatingId, filmId }).filter(([, id]) => id !== undefined),
  );
  const { correction, table, calibration } = correctionOfTest({ store }, { testId, target, use });
  const tone = negativeToneTable({
    correction: table(greyCodes),
    contrast: request.contrast,
    invert: request.invert,
  });
  const made = await imaging.run(
    "draw-negative",
    { file, workFolder, request, tone, caption: request.caption ? captionText(calibration, request) : "" },
    { signal, onProgress },
  );
  const sheet = request.tile ?? (made.pages.length > 1 ? `${made.pages.length}-sheets` : "");
  const nameWords = [
    "negative",
    calibration.testName || testId,
    `${Math.round(request.widthMm)}mm`,
    `${request.dpi}dpi`,
    ...(request.mirror ? [] : ["not-mirrored"]),
    ...(sheet === "" ? [] : [typeof sheet === "number" ? `sheet-${sheet}` : sheet]),
  ];
  const warnings = [...correction.warnings, ...inWords(made.warnings, negativeWarningWords)];
  if (request.format === "png")
    return { bytes: packedPng(made.pages[0]!, request.dpi), type: "image/png", nameWords, warnings };
  const title = `Negative, ${captionText(calibration, request)}`;
  return {
    bytes: await negativePdf({ pages: made.pages, dpi: request.dpi, title, madeAt: new Date() }),
    type: "application/pdf",
    nameWords,
    warnings,
  };
}
