// One thread beside the server's that fits the studio's model. It keeps what it was told, so that only what changed is
// sent; one that does not answer in time is replaced.
import { Worker } from "node:worker_threads";
import type { ChangeEvent, Observation } from "#shared/studio-model/observation.ts";
import type { StudioFit } from "#shared/studio-model/studio-fit.ts";

/** What changed since the last task of the same channel. */
export interface FitTask {
  readonly id: number;
  readonly channel: string;
  /** The thread forgets what it was told of the channel. */
  readonly isAnew: boolean;
  readonly told: readonly Observation[];
  readonly goneIds: readonly string[];
  readonly events: readonly ChangeEvent[];
}

export type FitAnswer =
  | { readonly id: number; readonly fit: Omit<StudioFit, "observations"> }
  | { readonly id: number; readonly failure: string };

interface Wanted {
  readonly channel: string;
  /** Those that did not change are the same objects as before. */
  readonly observations: readonly Observation[];
  readonly events: readonly ChangeEvent[];
}

export interface ModelThread {
  /**
   * Fits elsewhere what `fitStudio` would fit here.
   * @throws Error when a fresh thread did not answer in time either
   */
  fit(wanted: Wanted): Promise<StudioFit>;
  close(): Promise<void>;
}

interface Waiting {
  readonly observations: readonly Observation[];
  readonly resolve: (fit: StudioFit) => void;
  readonly reject: (reason: Error) => void;
}

/** A worker with what it was sent. */
interface Hired {
  readonly worker: Worker;
  readonly sent: Map<string, ReadonlyMap<string, Observation>>;
}

/** Twenty times what the first fit of 2,000 tests takes. */
const usualLimitMs = 60_000;

/**
 * @param workerFile the bundled worker, .build/model-worker.mjs
 * @param limitMs a fit that takes longer is given up, with its thread
 */
export function startModelThread(workerFile: string, limitMs = usualLimitMs): ModelThread {
  const waiting = new Map<number, Waiting>();
  let nextId = 1;
  let isClosed = false;
  let hired: Hired | null = null;
  const dismiss = (reason: Error): void => {
    const left = hired;
    hired = null;
    for (const each of waiting.values()) each.reject(reason);
    waiting.clear();
    void left?.worker.terminate();
  };
  const hire = (): Hired => {
    const worker = new Worker(workerFile);
    const fresh: Hired = { worker, sent: new Map() };
    worker.unref();
    worker.on("message", (answer: FitAnswer) => {
      const asked = waiting.get(answer.id);
      waiting.delete(answer.id);
      if (asked === undefined) return;
      if ("fit" in answer) asked.resolve({ observations: asked.observations, ...answer.fit });
      else asked.reject(new Error(answer.failure));
    });
    const leave = (reason: Error): void => {
      if (hired === fresh) dismiss(reason);
    };
    worker.on("error", leave);
    worker.on("exit", () => leave(new Error("The thread of the studio's model ended.")));
    return fresh;
  };
  const ask = ({ channel, observations, events }: Wanted): Promise<StudioFit> => {
    if (isClosed) return Promise.reject(new Error("The thread of the studio's model is closed."));
    const id = nextId++;
    hired ??= hire();
    const { worker, sent } = hired;
    const before = sent.get(channel);
    const now = new Map(observations.map((each) => [each.id, each]));
    sent.set(channel, now);
    const task: FitTask = {
      id,
      channel,
      isAnew: before === undefined,
      told: observations.filter((each) => before?.get(each.id) !== each),
      goneIds: [...(before?.keys() ?? [])].filter((known) => !now.has(known)),
      events,
    };
    return new Promise((resolve, reject) => {
      const timer = setTimeout(() => dismiss(new Error("The studio's model took too long.")), limitMs);
      timer.unref();
      const settle = (): void => {
        clearTimeout(timer);
      };
      waiting.set(id, {
        observations,
        resolve: (fit) => {
          settle();
          resolve(fit);
        },
        reject: (reason) => {
          settle();
          reject(reason);
        },
      });
      worker.postMessage(task);
    });
  };
  return {
    async fit(wanted) {
      try {
        return await ask(wanted);
      } catch (error) {
        if (isClosed) throw error;
        // Once more in a fresh thread, which is told everything.
        dismiss(new Error("The thread of the studio's model was replaced.", { cause: error }));
        return ask(wanted);
      }
    },
    async close() {
      isClosed = true;
      await hired?.worker.terminate();
    },
  };
}
