// Who took the picture of a test, and the other answer, where its file cannot settle it.
import type { SavedTest } from "#shared/schema/test.ts";
import type { TakenBy } from "#shared/schema/reading.ts";
import { takenByWords } from "#shared/words/tests/taken-by-words.ts";

export interface TakenByView {
  readonly says: string;
  /** What the button says instead, and sends. */
  readonly other: TakenBy;
  readonly label: string;
}

/** Null where it makes no difference: a grey scale or several exposures tell the tone, or an instrument measured. */
export function takenByView({ request, reading: { camera, instrument } }: SavedTest): TakenByView | null {
  if (camera === undefined || instrument !== undefined) return null;
  if (camera.by !== "assumption" && camera.by !== "no-camera") return null;
  const by = camera.by === "assumption" ? "camera" : "scanner";
  if (request.takenBy === undefined && by === "camera" && camera.isSupposed !== true) return null;
  const other = by === "camera" ? "scanner" : "camera";
  return { ...takenByWords(by, { isSaid: request.takenBy !== undefined }), other };
}
