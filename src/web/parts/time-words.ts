// A time as it is shown, and as a screen reader says it.
import { formatDuration, spokenDuration } from "#shared/format/duration.ts";

export interface TimeWords {
  readonly shown: string;
  readonly spoken: string;
}

export function timeWords(seconds: number): TimeWords {
  return { shown: formatDuration(seconds), spoken: spokenDuration(seconds) };
}
