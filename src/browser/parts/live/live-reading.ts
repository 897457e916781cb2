// Measures again while corners move: one request at a time, the newest corners last, never more than the server can
// keep up with.
import type { Corners, Reading, Tablet } from "#shared/schema/reading.ts";

export interface LiveReadingOptions {
  readonly pictureId: string;
  readonly tablet: Tablet;
  readonly measured: (reading: Reading) => void;
  /** Plain words of what stops the reading at these corners. */
  readonly refused: (detail: string) => void;
  readonly busy: () => void;
}

/** Milliseconds of rest after a move before anything is asked. */
const restMs = 180;

/** A function to call with every new set of corners; `settled` ones are asked sooner. */
export function liveReading({
  pictureId,
  tablet,
  measured,
  refused,
  busy,
}: LiveReadingOptions): (corners: Corners, settled: boolean) => void {
  let timer: ReturnType<typeof setTimeout> | undefined;
  let isAsking = false;
  let newest: Corners | null = null;

  async function ask(corners: Corners): Promise<void> {
    busy();
    try {
      const response = await fetch(`/pictures/${pictureId}/readings`, {
        method: "POST",
        headers: { "content-type": "application/json", accept: "application/json" },
        body: JSON.stringify({ tablet, corners }),
      });
      const answer: unknown = await response.json();
      // An answer for corners that have moved on since would jump about under the hand.
      if (newest !== null) return;
      if (response.ok) measured(answer as Reading);
      else refused((answer as { detail?: string }).detail ?? "The picture could not be measured here.");
    } catch (error) {
      if (newest === null)
        refused(
          error instanceof TypeError
            ? "The server does not answer. Your corners are kept in this page."
            : "The answer could not be understood.",
        );
    }
  }

  /** An answer under way is waited for: stopping it would cost the server more than finishing it. */
  async function askNewest(): Promise<void> {
    if (isAsking) return;
    isAsking = true;
    while (newest !== null) {
      const corners = newest;
      newest = null;
      await ask(corners);
    }
    isAsking = false;
  }

  return (corners, settled) => {
    newest = corners;
    clearTimeout(timer);
    timer = setTimeout(() => void askNewest(), settled ? restMs : restMs * 1.5);
  };
}
