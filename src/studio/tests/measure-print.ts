// Measures the steps of a print in one or more pictures, without saving anything.
import { InputError } from "#shared/errors.ts";
import { averageReadings } from "#shared/reading/camera/average-readings.ts";
import { instrumentReading, measuredBothWays } from "#shared/reading/instrument/instrument-reading.ts";
import type { MeasuredReading } from "#shared/reading/reading-facts.ts";
import type { Reading, ReadingRequest } from "#shared/schema/reading.ts";
import { readingInWords } from "#shared/words/tests/reading-words.ts";
import { inPlainWords } from "#shared/words/trouble-words.ts";
import { refusal } from "#shared/words/refusal-words.ts";
import type { Tools } from "#src/studio/tools.ts";

/**
 * A picture as its file, or the id of one that is stored: then it is kept decoded for a short while, so that it can be
 * measured again at once.
 */
export type PrintPicture = Uint8Array | string;

/** The pictures of one print. */
export interface PrintPictures {
  /** One, or several of the same print, which are averaged. */
  readonly photos: readonly PrintPicture[];
  /** A plain sheet in the same place under the same light. */
  readonly evenLight?: PrintPicture | undefined;
}

export interface PrintToMeasure {
  readonly request: ReadingRequest;
  readonly pictures: PrintPictures;
  readonly signal?: AbortSignal | undefined;
}

/**
 * Reads a print, by an instrument's numbers where the request has them: a picture then tells places, and how the two
 * differ. Given corners belong to the first photo; the tablet is found anew in the others.
 *
 * @throws InputError whatever makes a picture unreadable, "not-found" for the id of a picture that is gone
 */
export async function measurePrint(tools: Tools, asked: PrintToMeasure): Promise<Reading> {
  const { instrument, tablet } = asked.request;
  if (instrument === undefined) return readingInWords(await measurePictures(tools, asked));
  const told = inPlainWords(() => instrumentReading(instrument, tablet));
  const isAlone = instrument.isDrawn === true || asked.pictures.photos.length === 0;
  return readingInWords(isAlone ? told : measuredBothWays(told, await measurePictures(tools, asked)));
}

async function measurePictures(
  { store, imaging }: Tools,
  { request, pictures, signal }: PrintToMeasure,
): Promise<MeasuredReading> {
  const [firstPhoto, ...furtherPhotos] = pictures.photos;
  if (firstPhoto === undefined) throw refusal("bad-request", { code: "picture-not-sent" }, { field: "photo" });
  const { tablet, corners, reference, takenBy } = request;
  if (reference !== undefined && furtherPhotos.length > 0) {
    throw refusal("bad-request", { code: "reference-of-one-picture" }, { field: "reference" });
  }
  const fileOf = async (picture: PrintPicture): Promise<Uint8Array> =>
    typeof picture === "string" ? store.pictures.read(picture) : picture;
  const evenLight = pictures.evenLight === undefined ? undefined : await fileOf(pictures.evenLight);
  const measured = async (photo: PrintPicture, asked: ReadingRequest): Promise<MeasuredReading> =>
    imaging.run(
      "measure-reading",
      { picture: await fileOf(photo), request: asked, evenLight },
      { signal, keepAs: keptName(photo, pictures.evenLight) },
    );
  const first = await measured(firstPhoto, { tablet, corners, reference, takenBy });
  if (furtherPhotos.length === 0) return first;
  const further: MeasuredReading[] = [];
  for (const [i, photo] of furtherPhotos.entries()) {
    try {
      further.push(await measured(photo, { tablet, takenBy }));
    } catch (error) {
      throw inFurtherPhoto(error, i + 2);
    }
  }
  return averageReadings([first, ...further]);
}

/** Name under which a stored picture is kept decoded, with the light of the plain sheet beside it; none for a file. */
function keptName(photo: PrintPicture, evenLight: PrintPicture | undefined): string | undefined {
  if (typeof photo !== "string" || (evenLight !== undefined && typeof evenLight !== "string")) return undefined;
  return evenLight === undefined ? photo : `${photo} ${evenLight}`;
}

/** The trouble with a photo after the first: corners cannot mend it, since they belong to the first. */
function inFurtherPhoto(error: unknown, photoNumber: number): unknown {
  if (!(error instanceof InputError) || error.field === "evenLight" || error.code === "busy") return error;
  const fact =
    error.code === "no-tablet-found" && error.field !== "photo"
      ? ({ code: "no-tablet-in-further-picture", picture: photoNumber } as const)
      : ({ code: "further-picture-stops", picture: photoNumber, detail: error.detail } as const);
  return refusal(error.code, fact, { field: "photo", extra: { ...error.extra, photoNumber }, cause: error });
}
