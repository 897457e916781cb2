// What can be said of a picture file as soon as it is chosen, before anything is measured.

/** Bytes from the start of a file that tell what it is. */
export const firstBytesNeeded = 8;

/**
 * Longer side under which a picture holds too few pixels a step [px]: 31 steps on 80 % of it are 20 wide.
 * common practice, no source
 */
const smallLongSidePx = 800;

/** What a chosen picture should show: the print, the same print once more, or the plain sheet in its place. */
export const pictureShows = ["print", "same-print", "plain-sheet"] as const;
export type PictureShows = (typeof pictureShows)[number];

/** What stops a file from being read, or makes it doubtful. */
export type ChosenFileFact =
  | { readonly code: "file-empty" }
  | { readonly code: "file-pdf" }
  | { readonly code: "file-too-large"; readonly mostBytes: number }
  | { readonly code: "too-many-files"; readonly most: number }
  | { readonly code: "picture-small"; readonly width: number; readonly height: number };

/** Whether a file is a PDF, by its first bytes. Source: iso-32000-1 clause 7.5.2 */
export function isPdf(firstBytes: Uint8Array): boolean {
  return String.fromCharCode(...firstBytes.subarray(0, 5)) === "%PDF-";
}

/** What stops a chosen file; null when it may be a picture. */
export function chosenFileTrouble({
  sizeBytes,
  firstBytes,
  mostBytes,
}: {
  readonly sizeBytes: number;
  readonly firstBytes: Uint8Array;
  readonly mostBytes: number;
}): ChosenFileFact | null {
  if (sizeBytes === 0) return { code: "file-empty" };
  if (isPdf(firstBytes)) return { code: "file-pdf" };
  return sizeBytes > mostBytes ? { code: "file-too-large", mostBytes } : null;
}

/** What is said of more pictures than one print takes. */
export const tooManyFiles = (most: number): ChosenFileFact => ({ code: "too-many-files", most });

/**
 * What a glance may find that is as it should be: further pictures of a print are taken darker on purpose, and a plain
 * sheet has neither blue nor edges.
 */
const meant: Readonly<Record<PictureShows, readonly string[]>> = {
  print: [],
  "same-print": ["picture-dark"],
  "plain-sheet": ["picture-without-blue", "print-far", "picture-blurred"],
};

/** Whether a finding is worth a word for a picture that should show that. */
export const isDoubtOf = (shows: PictureShows, { code }: { readonly code: string }): boolean =>
  !meant[shows].includes(code);

/**
 * What is doubtful about a picture's size.
 * @param size upright [px]
 */
export function pictureSizeDoubt({ width, height }: { width: number; height: number }): ChosenFileFact | null {
  return Math.max(width, height) < smallLongSidePx ? { code: "picture-small", width, height } : null;
}
