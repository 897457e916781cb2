// A photogram read from a photo of its own print beside the strip: each place on the thing by the strip's steps there.
import { matchedExposure } from "#shared/prints/matched-exposure.ts";
import type { PhotogramPhotoRequest, PhotogramSpot } from "#shared/schema/photogram.ts";
import type { Warning } from "#shared/schema/reading.ts";
import { refusal } from "#shared/words/refusal-words.ts";
import { photogramTroubleWords } from "#shared/words/sun/photogram-words.ts";
import { readingInWords } from "#shared/words/tests/reading-words.ts";
import { photogramAt } from "./read-photogram.ts";
import type { Tools } from "#src/studio/tools.ts";

export interface PhotogramPhoto {
  readonly spots: readonly PhotogramSpot[];
  /** The strip's corners in the picture [upright px]. */
  readonly corners: readonly (readonly [number, number])[];
  readonly warnings: readonly Warning[];
}

/**
 * @throws InputError "not-found" for an unknown test, "no-tablet-found", "corners-impossible", "bad-request", and
 *   whatever is wrong with the picture
 */
export async function readPhotogramPhoto(
  { store, imaging }: Pick<Tools, "store" | "imaging">,
  { picture, request }: { readonly picture: Uint8Array; readonly request: PhotogramPhotoRequest },
): Promise<PhotogramPhoto> {
  const { testId, corners, spots, exposureSeconds, startedAt } = request;
  const test = store.tests.get(testId);
  const steps = test.curve?.steps ?? [];
  const { tablet } = test.request;
  if (steps.length === 0 || tablet.kind === "levels" || tablet.kind === "sheet")
    throw refusal("bad-request", { code: "photogram-test-without-curve" }, { field: "testId" });
  const measured = await imaging.run("measure-spots", { picture, request: { tablet, corners }, spots });
  const reading = readingInWords(measured.reading);
  const printed = reading.steps.flatMap(({ index, red, sigma }) => {
    const own = steps.find((step) => step.index === index);
    return own === undefined ? [] : [{ logH: own.logH, density: red, sigma }];
  });
  return {
    corners: reading.location.corners,
    warnings: reading.warnings,
    spots: measured.spots.map((spot, index): PhotogramSpot => {
      const at = spots[index] ?? [0, 0];
      const matched = matchedExposure(printed, spot);
      const found =
        matched === null
          ? "too-pale-or-too-deep"
          : photogramAt({ store }, test, { exposureSeconds, startedAt, ...matched });
      const { density: printDensity, sigma } = spot;
      if (typeof found === "string")
        return { at, printDensity, sigma, found: null, trouble: photogramTroubleWords[found] };
      return { at, printDensity, sigma, found, trouble: null };
    }),
  };
}
