// Runs in a worker thread: fits the studio's model, so that the server's own thread answers meanwhile.
import { parentPort } from "node:worker_threads";
import { fitStudio } from "#shared/studio-model/studio-fit.ts";
import type { FitAnswer, FitTask } from "./model-thread.ts";

const port = parentPort;
port?.on("message", ({ id, observations, events, begin }: FitTask) => {
  let answer: FitAnswer;
  try {
    const { observations: _known, ...fit } = fitStudio(observations, events, { begin });
    answer = { id, fit };
  } catch (error) {
    answer = { id, failure: error instanceof Error ? (error.stack ?? error.message) : String(error) };
  }
  port.postMessage(answer);
});
