// What a piece of the core's work was stopped by, for tests that look at the fact instead of a sentence.
import { TroubleError } from "#shared/errors.ts";

/**
 * The trouble that the work throws, with the field that it names; null when it goes through. Anything else thrown fails
 * the test.
 */
export function troubleOf(work: () => unknown): { readonly [fact: string]: unknown } | null {
  try {
    work();
  } catch (error) {
    if (!(error instanceof TroubleError)) throw error;
    return { ...error.trouble, errorCode: error.code, field: error.field };
  }
  return null;
}
