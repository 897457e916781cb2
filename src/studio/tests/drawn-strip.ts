// A print that an instrument measured and nobody photographed: its strip is drawn, so that every page has a picture.
import { drawnStripSvg } from "#shared/reading/instrument/drawn-strip.ts";
import { instrumentTrouble } from "#shared/reading/instrument/instrument-facts.ts";
import { instrumentReading } from "#shared/reading/instrument/instrument-reading.ts";
import type { Reading } from "#shared/schema/reading.ts";
import type { TestRequest } from "#shared/schema/test.ts";
import { drawnStripCaption } from "#shared/words/tests/instrument-words.ts";
import { errorInWords, inPlainWords } from "#shared/words/trouble-words.ts";
import type { Tools } from "#src/studio/tools.ts";
import { keepPicture } from "./preview-picture.ts";
import type { PrintPictures } from "./measure-print.ts";

/**
 * The request and pictures of a test; one that comes with an instrument's numbers alone gets a drawing of them.
 * @throws InputError "bad-request" when the numbers cannot be read
 */
export async function withDrawnStrip(
  { imaging }: Tools,
  request: TestRequest,
  pictures: PrintPictures,
): Promise<{ readonly asked: TestRequest; readonly pictures: PrintPictures }> {
  const { instrument, tablet } = request;
  if (instrument === undefined || pictures.photos.length > 0) return { asked: request, pictures };
  const { steps } = inPlainWords(() => instrumentReading(instrument, tablet));
  const { png } = await imaging.run("paint-drawing", { svg: drawnStripSvg(steps, drawnStripCaption) });
  return { asked: { ...request, instrument: { ...instrument, isDrawn: true } }, pictures: { photos: [png] } };
}

/** The id of a new drawing for a test that has one instead of a picture; null for any other. */
export async function drawnAnew(
  tools: Tools,
  { instrument }: TestRequest,
  { steps }: Pick<Reading, "steps">,
): Promise<string | null> {
  if (instrument?.isDrawn !== true) return null;
  const { png } = await tools.imaging.run("paint-drawing", { svg: drawnStripSvg(steps, drawnStripCaption) });
  return (await keepPicture(tools, png)).pictureId;
}

/**
 * An instrument that measured one kind of density gives no curve of the other.
 * @throws InputError "bad-request" when the test is to be judged by what was not measured
 */
export function checkChannel({ channel }: TestRequest, { instrument }: Pick<Reading, "instrument">): void {
  if (instrument === undefined) return;
  if (channel === "red" && instrument.redScale === "none")
    throw errorInWords(instrumentTrouble({ code: "instrument-other-channel", measured: "visual" }));
  if (channel === "visual" && !instrument.visualMeasured)
    throw errorInWords(instrumentTrouble({ code: "instrument-other-channel", measured: "red" }));
}
