// One thread beside the server's that fits the studio's model.
import { Worker } from "node:worker_threads";
import type { ChangeEvent, Observation } from "#shared/studio-model/observation.ts";
import type { StudioFit } from "#shared/studio-model/studio-fit.ts";
import type { Lattice } from "#shared/studio-model/worlds.ts";

export interface FitTask {
  readonly id: number;
  readonly observations: readonly Observation[];
  readonly events: readonly ChangeEvent[];
  readonly begin: Lattice | null;
}

export type FitAnswer =
  | { readonly id: number; readonly fit: Omit<StudioFit, "observations"> }
  | { readonly id: number; readonly failure: string };

export interface ModelThread {
  /** Fits elsewhere what `fitStudio` would fit here. */
  fit(task: Omit<FitTask, "id">): Promise<StudioFit>;
  close(): Promise<void>;
}

interface Waiting {
  readonly observations: readonly Observation[];
  readonly resolve: (fit: StudioFit) => void;
  readonly reject: (reason: Error) => void;
}

/** @param workerFile the bundled worker, .build/model-worker.mjs */
export function startModelThread(workerFile: string): ModelThread {
  const waiting = new Map<number, Waiting>();
  let nextId = 1;
  let isClosed = false;
  let worker: Worker | null = null;
  const fail = (reason: Error): void => {
    worker = null;
    for (const each of waiting.values()) each.reject(reason);
    waiting.clear();
  };
  const hire = (): Worker => {
    const fresh = new Worker(workerFile);
    fresh.unref();
    fresh.on("message", (answer: FitAnswer) => {
      const asked = waiting.get(answer.id);
      waiting.delete(answer.id);
      if (asked === undefined) return;
      if ("fit" in answer) asked.resolve({ observations: asked.observations, ...answer.fit });
      else asked.reject(new Error(answer.failure));
    });
    fresh.on("error", fail);
    fresh.on("exit", () => fail(new Error("The thread of the studio's model ended.")));
    return fresh;
  };
  return {
    fit(task) {
      if (isClosed) return Promise.reject(new Error("The thread of the studio's model is closed."));
      const id = nextId++;
      worker ??= hire();
      const used = worker;
      return new Promise((resolve, reject) => {
        waiting.set(id, { observations: task.observations, resolve, reject });
        used.postMessage({ ...task, id });
      });
    },
    async close() {
      isClosed = true;
      await worker?.terminate();
    },
  };
}
