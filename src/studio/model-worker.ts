// Runs in a worker thread: fits the studio's model, so that the server's own thread answers meanwhile. It keeps what it
// was told of each channel and the last fit, and begins there.
import { parentPort } from "node:worker_threads";
import type { Observation } from "#shared/studio-model/observation.ts";
import { fitStudio, type StudioFit } from "#shared/studio-model/studio-fit.ts";
import { manyTests } from "#shared/studio-model/worlds.ts";
import type { FitAnswer, FitTask } from "./model-thread.ts";

interface Known {
  readonly observations: Map<string, Observation>;
  fit: StudioFit | null;
}

const channels = new Map<string, Known>();
const port = parentPort;
port?.on("message", (task: FitTask) => {
  const { id } = task;
  let answer: FitAnswer;
  try {
    const { observations: _known, ...fit } = fitted(task);
    answer = { id, fit };
  } catch (error) {
    answer = { id, failure: error instanceof Error ? (error.stack ?? error.message) : String(error) };
  }
  // Handed over instead of copied: the next fit begins at the values alone.
  port.postMessage(answer, "fit" in answer ? factorsOf(answer.fit) : []);
});

/** Memory of all factors of a fit, each once. */
function factorsOf({ accounts }: Pick<StudioFit, "accounts">): ArrayBuffer[] {
  const buffers = new Set<ArrayBufferLike>();
  for (const { solutions } of accounts) {
    for (const { solution } of solutions) {
      const { starts, rows, values, diagonal } = solution.factor;
      for (const each of [starts, rows, values, diagonal]) buffers.add(each.buffer);
    }
  }
  return [...buffers].filter((each) => each instanceof ArrayBuffer);
}

function fitted({ channel, isAnew, told, goneIds, events }: FitTask): StudioFit {
  const known = (isAnew ? undefined : channels.get(channel)) ?? { observations: new Map(), fit: null };
  channels.set(channel, known);
  for (const gone of goneIds) known.observations.delete(gone);
  for (const each of told) known.observations.set(each.id, each);
  const observations = [...known.observations.values()];
  // With few tests the answer must not hang on what was before.
  known.fit = fitStudio(observations, events, { before: observations.length > manyTests ? known.fit : null });
  return known.fit;
}
