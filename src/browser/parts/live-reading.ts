// Measures again while corners move: one request at a time, the newest corners last, never more than the server can keep up with.
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

/** A function to call with every new set of corners; `settled` ones are asked at once. */
export function liveReading({ pictureId, tablet, measured, refused, busy }: LiveReadingOptions): (corners: Corners, settled: boolean) => void {
  let timer: ReturnType<typeof setTimeout> | undefined;
  let underWay: AbortController | null = null;

  async function ask(corners: Corners): Promise<void> {
    underWay?.abort();
    const controller = new AbortController();
    underWay = controller;
    busy();
    try {
      const response = await fetch(`/pictures/${pictureId}/readings`, {
        method: "POST",
        headers: { "content-type": "application/json", accept: "application/json" },
        body: JSON.stringify({ tablet, corners }),
        signal: controller.signal,
      });
      const answer: unknown = await response.json();
      if (controller.signal.aborted) return;
      if (response.ok) measured(answer as Reading);
      else refused((answer as { detail?: string }).detail ?? "The picture could not be measured here.");
    } catch (error) {
      if (!controller.signal.aborted) refused(error instanceof TypeError ? "The server does not answer. Your corners are kept in this page." : "The answer could not be understood.");
    } finally {
      if (underWay === controller) underWay = null;
    }
  }

  return (corners, settled) => {
    clearTimeout(timer);
    timer = setTimeout(() => void ask(corners), settled ? restMs : restMs * 1.5);
  };
}
