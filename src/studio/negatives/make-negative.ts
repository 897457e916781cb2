// Makes the next negative: the picture through the correction of a test, at true size.
import { negativeToneTable } from "#shared/correction/negative-tone.ts";
import { stripLevels } from "#shared/correction/margin-strip.ts";
import { sentAt } from "#shared/correction/refine-correction.ts";
import { madeNegativeInputSchema } from "#shared/schema/negative.ts";
import type { NegativeRequest } from "#shared/schema/negative.ts";
import { negativeWarningWords } from "#shared/words/negatives/correction-words.ts";
import { captionText } from "#shared/words/file-words.ts";
import { inWords } from "#shared/words/sentences.ts";
import type { Warning } from "#shared/schema/reading.ts";
import { refusal } from "#shared/words/refusal-words.ts";
import { negativePdf } from "#src/output/negative-pdf.ts";
import { packedPng } from "#src/output/png.ts";
import type { SheetPlan } from "#src/output/plan-page.ts";
import type { MadeNegative } from "#src/imaging/negative/draw-negative.ts";
import { planHeading, planLines } from "#shared/words/negatives/plan-words.ts";
import { correctionOfTest } from "./correct.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";

export interface NegativeWish {
  readonly request: NegativeRequest;
  /** Picture file on the disk. */
  readonly file: string;
  /** Name of the picture, for the list of negatives made. */
  readonly pictureName?: string;
  /** Folder for temporary files; the caller removes it. */
  readonly workFolder: string;
  readonly signal?: AbortSignal | undefined;
  readonly onProgress?: ((share: number) => void) | undefined;
}

export interface NegativeFile {
  readonly bytes: Uint8Array;
  readonly type: "image/png" | "application/pdf" | "image/tiff";
  /** Words of the file name. */
  readonly nameWords: readonly string[];
  readonly warnings: readonly Warning[];
  /** Where it stands in the list of negatives made. */
  readonly madeId: string;
}

/** 16-bit greys of a positive. */
const greyCodes = 65_536;

/**
 * @throws InputError "bad-request" naming testId for an unknown test, "no-correction", and whatever is wrong with
 *   picture or size
 */
export async function makeNegative(
  { store, imaging }: Pick<Tools, "store" | "imaging">,
  { request, file, pictureName = "", workFolder, signal, onProgress }: NegativeWish,
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
  const drawn = await imaging.run(
    "draw-negative",
    {
      file,
      workFolder,
      request,
      tone,
      caption: request.caption ? captionText(calibration, request) : "",
      strip: request.marginStrip ? stripValues(correction.levels, request) : [],
    },
    { signal, onProgress },
  );
  const warnings = [...correction.warnings, ...inWords(drawn.warnings, negativeWarningWords)];
  const caption = captionText(calibration, request);
  const made = forWriting(store).madeNegatives.create(
    madeNegativeInputSchema.parse({
      request,
      target,
      pictureName: lineOf(pictureName),
      widthMm: toMm(drawn.widthPx, request.dpi),
      heightMm: toMm(drawn.heightPx, request.dpi),
      sheets: drawn.rows * drawn.columns,
      levels: correction.levels,
    }),
  );
  return {
    madeId: made.id,
    ...(await fileOf(drawn, request, `Negative, ${caption}`)),
    nameWords: nameWords(drawn, request, calibration.testName || testId),
    warnings,
  };
}

function nameWords(made: MadeNegative, request: NegativeRequest, testName: string): string[] {
  const sheet = request.tile ?? (made.sheets.length > 1 ? `${made.sheets.length}-sheets` : "");
  return [
    "negative",
    testName,
    `${Math.round(toMm(made.widthPx, request.dpi))}mm`,
    `${request.dpi}dpi`,
    ...(request.bits === 8 ? [] : ["16bit"]),
    ...(request.mirror ? [] : ["not-mirrored"]),
    ...(sheet === "" ? [] : [typeof sheet === "number" ? `sheet-${sheet}` : sheet]),
  ];
}

/** Film values of the strip's patches in 1/256 of a film level: through the curve, without the picture's contrast. */
function stripValues(levels: readonly number[], { invert }: NegativeRequest): number[] {
  return stripLevels.map((wanted) => {
    const sent = sentAt(levels, wanted);
    return Math.round(256 * (invert ? 255 - sent : sent));
  });
}

/** A file's name as one line of text that may be kept. */
function lineOf(name: string): string {
  return name.replaceAll(/\p{C}/gu, " ").trim().slice(0, 200);
}

const toMm = (pixels: number, dpi: number): number => (pixels / dpi) * 25.4;

/** The drawn sheets in the file that was asked for. */
async function fileOf(
  made: MadeNegative,
  request: NegativeRequest,
  title: string,
): Promise<Pick<NegativeFile, "bytes" | "type">> {
  const packed = made.sheets.flatMap(({ picture, filmMm }) => ("tiff" in picture ? [] : [{ picture, filmMm }]));
  const [first] = made.sheets;
  if (first === undefined) throw new TypeError("A negative without a sheet.");
  if ("tiff" in first.picture) return { bytes: first.picture.tiff, type: "image/tiff" };
  if (request.format === "png") return { bytes: packedPng(first.picture, request.dpi), type: "image/png" };
  return {
    bytes: await negativePdf({
      pages: packed,
      dpi: request.dpi,
      title,
      madeAt: new Date(),
      plan: packed.length > 1 ? planOf(made, request) : null,
    }),
    type: "application/pdf",
  };
}

function planOf(made: MadeNegative, request: NegativeRequest): SheetPlan {
  const { rows, columns, widthPx, heightPx, sheets } = made;
  const widthMm = toMm(widthPx, request.dpi);
  const heightMm = toMm(heightPx, request.dpi);
  return {
    rows,
    columns,
    widthMm,
    heightMm,
    pageMm: sheets[0]?.filmMm ?? null,
    heading: planHeading({ rows, columns }),
    lines: planLines({ widthMm, heightMm, overlapMm: request.overlapMm, mirror: request.mirror }),
  };
}
