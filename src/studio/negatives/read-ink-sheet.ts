// Reads the photo of an ink sheet's print: how much ink the film needs, and which ink blocks most.
import { inkAnswer, type InkSheetPrint, type PrintedInk } from "#shared/film/ink-answer.ts";
import type { InkAnswer, InkReadingRequest } from "#shared/schema/ink.ts";
import type { Warning } from "#shared/schema/reading.ts";
import { inkFindingWords, inkReadingWords } from "#shared/words/negatives/ink-words.ts";
import { inWords } from "#shared/words/sentences.ts";
import { readingInWords } from "#shared/words/tests/reading-words.ts";
import { refusal } from "#shared/words/refusal-words.ts";
import type { MeasuredInkSheet } from "#src/imaging/sheet/measure-sheet.ts";
import type { Tools } from "#src/studio/tools.ts";

export interface InkReading extends InkAnswer {
  /** The finding in plain words. */
  readonly advice: string;
  readonly warnings: readonly Warning[];
}

/** Codes of a reading's warnings that hold for an ink sheet too. */
const alsoForInks: ReadonlySet<string> = new Set([
  "sheet-mirrored",
  "sheet-inverted",
  "coating-uneven",
  "sheet-partly-outside",
  "steps-clipped",
]);

/**
 * @throws InputError "no-tablet-found", "corners-impossible", whatever is wrong with the picture, or "bad-request"
 *   naming curveTestId
 */
export async function readInkSheet(
  { store, imaging }: Pick<Tools, "store" | "imaging">,
  { picture, request }: { readonly picture: Uint8Array; readonly request: InkReadingRequest },
): Promise<InkReading> {
  const through = curveOf(store, request);
  const { reading, inks } = await imaging.run("measure-ink-sheet", { picture, corners: request.corners });
  const zero = reading.sheet?.zero;
  const paperSigma = zero?.of === "bare-paper" ? zero.sigma : null;
  const answer = inkAnswer({ printed: printedInks({ reading, inks }, through), paperSigma, through });
  const said = readingInWords(reading).warnings.filter(({ code }) => alsoForInks.has(code));
  return {
    ...answer,
    advice: inkFindingWords(answer.finding),
    warnings: through === null ? [...said, ...inWords([{ code: "ink-no-curve" } as const], inkReadingWords)] : said,
  };
}

/** Each level of the layout as the amount of ink that it was. */
function printedInks({ reading, inks }: MeasuredInkSheet, through: InkSheetPrint["through"]): PrintedInk[] {
  const isVisual = through?.curve.channel === "visual";
  return reading.steps.flatMap((step): PrintedInk[] => {
    const own = inks.find(({ level }) => level === step.input);
    if (own === undefined) return [];
    const { ink, amount } = own;
    const inCurve = isVisual
      ? { density: step.visual, sigma: step.sigmaVisual }
      : { density: step.red, sigma: step.sigma };
    return [{ ink, amount, density: step.red, sigma: step.sigma, inCurve }];
  });
}

/** The curve that a request names, with the sheet's time. @throws InputError "bad-request" */
function curveOf(store: Tools["store"], { curveTestId, exposureSeconds }: InkReadingRequest): InkSheetPrint["through"] {
  if (curveTestId === undefined || curveTestId === "") return null;
  const test = store.tests.find(curveTestId);
  const curve = test?.curve ?? null;
  if (test === undefined || curve === null || test.request.filmInTest || test.request.tablet.kind === "levels")
    throw refusal("bad-request", { code: "ink-curve-unfit" }, { field: "curveTestId" });
  const seconds = exposureSeconds ?? test.request.exposureSeconds;
  if (seconds === undefined) throw refusal("bad-request", { code: "ink-time-missing" }, { field: "exposureSeconds" });
  return { curve, exposureSeconds: seconds };
}
