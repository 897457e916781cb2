// Tone curves found a moment ago: the page of a negative, its previews, its files and the list of points ask for the
// same one, and finding it takes longer than all the rest of such a page.
import { solvedCorrection, type CorrectionInput, type SolvedCorrection } from "#shared/correction/correction.ts";

/** Curves that are kept: two or three people at work, each with a target or two. */
const mostKept = 8;

const kept = new Map<string, SolvedCorrection>();

/**
 * The curve of tones and target, found once; who asked last is kept longest.
 * @throws TroubleError "no-correction" as `solvedCorrection` does; that is never kept
 */
export function keptCorrection(input: CorrectionInput): SolvedCorrection {
  // The tones and the target themselves: whatever is changed in a test, another curve is asked for.
  const key = JSON.stringify(input);
  const solved = kept.get(key) ?? solvedCorrection(input);
  kept.delete(key);
  kept.set(key, solved);
  for (const oldest of kept.keys()) {
    if (kept.size <= mostKept) break;
    kept.delete(oldest);
  }
  return solved;
}
