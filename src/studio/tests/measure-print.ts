// Measures the steps of a print in one or more pictures, without saving anything.
import { InputError } from "#shared/errors.ts";
import { averageReadings } from "#shared/reading/average-readings.ts";
import type { MeasuredReading } from "#shared/reading/reading-facts.ts";
import type { Reading, ReadingRequest } from "#shared/schema/reading.ts";
import { readingInWords } from "#shared/words/reading-words.ts";
import { refusal } from "#shared/words/refusal-words.ts";
import type { Tools } from "#src/studio/tools.ts";

/** The pictures of one print, as files. */
export interface PrintPictures {
  /** One, or several of the same print, which are averaged. */
  readonly photos: readonly Uint8Array[];
  /** A plain sheet in the same place under the same light. */
  readonly evenLight?: Uint8Array;
}

/**
 * Reads a print. Given corners belong to the first photo; the tablet is found anew in the others.
 *
 * @param keepAs names the first photo's content, so that it is measured again soon without being decoded again
 * @throws InputError whatever makes a picture unreadable.
 */
export async function measurePrint(
  { imaging }: Pick<Tools, "imaging">,
  {
    request,
    pictures,
    signal,
    keepAs,
  }: { request: ReadingRequest; pictures: PrintPictures; signal?: AbortSignal; keepAs?: string },
): Promise<Reading> {
  const options = signal === undefined ? {} : { signal };
  const evenLight = pictures.evenLight === undefined ? {} : { evenLight: pictures.evenLight };
  const [firstPhoto, ...furtherPhotos] = pictures.photos;
  if (firstPhoto === undefined) throw refusal("bad-request", { code: "picture-not-sent" }, { field: "photo" });
  const { tablet, corners, reference } = request;
  const first = await imaging.run(
    "measure-reading",
    {
      picture: firstPhoto,
      request: {
        tablet,
        ...(corners === undefined ? {} : { corners }),
        ...(reference === undefined ? {} : { reference }),
      },
      ...evenLight,
    },
    { ...options, ...(keepAs === undefined ? {} : { keepAs }) },
  );
  if (furtherPhotos.length === 0) return readingInWords(first);
  if (reference !== undefined) {
    throw refusal("bad-request", { code: "reference-of-one-picture" }, { field: "reference" });
  }
  const further: MeasuredReading[] = [];
  for (const [i, picture] of furtherPhotos.entries()) {
    try {
      further.push(await imaging.run("measure-reading", { picture, request: { tablet }, ...evenLight }, options));
    } catch (error) {
      throw inFurtherPhoto(error, i + 2);
    }
  }
  return readingInWords(averageReadings([first, ...further]));
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
