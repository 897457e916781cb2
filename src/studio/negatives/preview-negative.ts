// What a negative will be, before it is made: the picture small, for browsers that cannot open it, and a window of it
// exactly as the file will hold it.
import { readFile } from "node:fs/promises";
import { negativeToneTable } from "#shared/correction/negative-tone.ts";
import type { NegativeRequest } from "#shared/schema/negative.ts";
import { packedPng } from "#src/output/png.ts";
import { curveOfNegative } from "./make-negative.ts";
import type { Tools } from "#src/studio/tools.ts";

/** 16-bit greys of a positive. */
const greyCodes = 65_536;
/** Side of the window [px]: what a screen shows at once beside the form. */
const windowPx = 480;

export interface WindowWish {
  readonly request: NegativeRequest;
  readonly file: string;
  readonly workFolder: string;
  /** Middle of the window, as shares of the printed picture. */
  readonly at: { readonly x: number; readonly y: number };
  /** The film as it will be, or the picture in grey, resized and sharpened but not corrected. */
  readonly as: "film" | "positive";
  readonly signal?: AbortSignal | undefined;
}

/**
 * A window of the negative, pixel for pixel as its 8-bit file.
 * @throws InputError "not-found" for an unknown test, and whatever is wrong with picture or size
 */
export async function negativeWindow(
  { store, imaging }: Pick<Tools, "store" | "imaging">,
  { request, file, workFolder, at, as, signal }: WindowWish,
): Promise<Uint8Array> {
  const isFilm = as === "film";
  const { contrast } = request;
  const drawn = await imaging.run(
    "draw-negative",
    {
      file,
      workFolder,
      request: {
        ...request,
        format: "png",
        bits: 8,
        ...(isFilm ? {} : { invert: false, mirror: false, channels: "grey", ink: { red: 0, green: 0, blue: 0 } }),
      },
      tone: isFilm ? curveOfNegative({ store }, request).tone : plainTone(contrast),
      caption: "",
      window: { ...at, widthPx: windowPx, heightPx: windowPx },
    },
    { signal },
  );
  const picture = drawn.sheets[0]?.picture;
  if (picture === undefined || "tiff" in picture) throw new TypeError("A window that is not a picture.");
  return packedPng(picture, request.dpi);
}

export interface SmallPicture {
  readonly jpeg: Uint8Array;
  readonly fullWidth: number;
  readonly fullHeight: number;
}

/** The picture upright and small. @throws InputError when it is not one */
export async function smallPicture(
  { imaging }: Pick<Tools, "imaging">,
  { file, maxSidePx, signal }: { file: string; maxSidePx: number; signal?: AbortSignal | undefined },
): Promise<SmallPicture> {
  return imaging.run("preview", { picture: await readFile(file), maxSidePx }, { signal });
}

/** The positive as it is, but for its contrast. */
function plainTone(contrast: number): Uint16Array {
  const correction = Float64Array.from({ length: greyCodes }, (_, code) => code / 257);
  return negativeToneTable({ correction, contrast, invert: false });
}
