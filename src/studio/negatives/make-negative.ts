// Makes the next negative: the picture through the correction of a test, at true size.
import { negativeToneTable } from "#shared/correction/negative-tone.ts";
import { millimetresOf } from "#shared/correction/picture-size.ts";
import { stripLevels } from "#shared/correction/strip/margin-strip.ts";
import { sentAt } from "#shared/correction/refine-correction.ts";
import { madeNegativeInputSchema } from "#shared/schema/negative.ts";
import type { MadeNegative, NegativeRequest } from "#shared/schema/negative.ts";
import { negativeWarningWords } from "#shared/words/negatives/correction-words.ts";
import { captionText } from "#shared/words/file-words.ts";
import { inWords } from "#shared/words/sentences.ts";
import type { Warning } from "#shared/schema/reading.ts";
import { refusal } from "#shared/words/refusal-words.ts";
import { negativePdf } from "#src/output/negative-pdf.ts";
import { packedPng } from "#src/output/png.ts";
import type { SheetPlan } from "#src/output/plan-page.ts";
import type { MadeNegative as DrawnNegative } from "#src/imaging/negative/draw-negative.ts";
import { planHeading, planLines } from "#shared/words/negatives/plan-words.ts";
import { correctionOfTest, type TestCorrection } from "./correct.ts";
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
  readonly type: "image/png" | "application/pdf" | "image/tiff" | "application/zip";
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
  const curve = curveOfNegative({ store }, request);
  const caption = captionText(curve.calibration, request);
  const drawn = await imaging.run(
    "draw-negative",
    { file, workFolder, request, ...drawingOf(curve, request), caption: request.caption ? caption : "" },
    { signal, onProgress },
  );
  const made = keepMadeNegative({ store }, { request, drawn, pictureName, levels: curve.correction.levels });
  return {
    madeId: made.id,
    ...(await fileOf(drawn, request, `Negative, ${caption}`)),
    nameWords: nameWords(drawn, request, curve.calibration.testName || request.testId),
    warnings: [...curve.correction.warnings, ...inWords(drawn.warnings, negativeWarningWords)],
  };
}

/** The curve of a negative, and the table of 16-bit greys that it becomes. */
export interface NegativeCurve extends Pick<TestCorrection, "correction" | "calibration"> {
  readonly tone: Uint16Array;
}

/** @throws InputError "bad-request" naming testId for an unknown test, or "no-correction" */
export function curveOfNegative({ store }: Pick<Tools, "store">, request: NegativeRequest): NegativeCurve {
  const { testId, target, lampId, supportId, coatingId, filmId } = request;
  if (store.tests.find(testId) === undefined)
    throw refusal("bad-request", { code: "no-such-tone-test", id: testId }, { field: "testId" });
  const use = Object.fromEntries(
    Object.entries({ lampId, supportId, coatingId, filmId }).filter(([, id]) => id !== undefined),
  );
  const { correction, table, calibration } = correctionOfTest({ store }, { testId, target, use });
  const { contrast, invert, curveId } = request;
  if (!curveId)
    return { correction, calibration, tone: negativeToneTable({ correction: table(greyCodes), contrast, invert }) };
  const kept = store.keptCurves.find(curveId);
  if (kept === undefined || kept.testId !== testId)
    throw refusal("bad-request", { code: "no-such-kept-curve" }, { field: "curveId" });
  const { levels } = kept;
  const tableOfKept = Float64Array.from({ length: greyCodes }, (_, code) =>
    sentAt(levels, (code / (greyCodes - 1)) * 255),
  );
  return {
    correction: { ...correction, levels },
    calibration,
    tone: negativeToneTable({ correction: tableOfKept, contrast, invert }),
  };
}

/** What the drawing of a negative takes from its curve. */
export function drawingOf(
  { correction, tone }: NegativeCurve,
  request: NegativeRequest,
): { readonly tone: Uint16Array; readonly strip: readonly number[] } {
  return { tone, strip: request.marginStrip ? stripValues(correction.levels, request) : [] };
}

/** Puts a drawn negative on the list of those made, with its curve. */
export function keepMadeNegative(
  { store }: Pick<Tools, "store">,
  {
    request,
    drawn,
    pictureName,
    levels,
  }: {
    readonly request: NegativeRequest;
    readonly drawn: Pick<DrawnNegative, "widthPx" | "heightPx" | "rows" | "columns">;
    readonly pictureName: string;
    readonly levels: readonly number[];
  },
): MadeNegative {
  return forWriting(store).madeNegatives.create(
    madeNegativeInputSchema.parse({
      request,
      target: request.target,
      pictureName: lineOf(pictureName),
      widthMm: millimetresOf(drawn.widthPx, request.dpi),
      heightMm: millimetresOf(drawn.heightPx, request.dpi),
      sheets: drawn.rows * drawn.columns,
      levels,
    }),
  );
}

function nameWords(made: DrawnNegative, request: NegativeRequest, testName: string): string[] {
  const sheet = request.tile ?? (made.sheets.length > 1 ? `${made.sheets.length}-sheets` : "");
  return [
    "negative",
    testName,
    `${Math.round(millimetresOf(made.widthPx, request.dpi))}mm`,
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

/** The drawn sheets in the file that was asked for. */
export async function fileOf(
  made: DrawnNegative,
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

function planOf(made: DrawnNegative, request: NegativeRequest): SheetPlan {
  const { rows, columns, widthPx, heightPx, sheets } = made;
  const widthMm = millimetresOf(widthPx, request.dpi);
  const heightMm = millimetresOf(heightPx, request.dpi);
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
