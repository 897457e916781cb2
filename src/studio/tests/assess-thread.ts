// One thread beside the server's that fits the curves of tests and draws maps of beds: each takes some tenths of a
// second, in which nobody else would be answered.
import { Worker } from "node:worker_threads";
import type { TestAssessment } from "#shared/advice/advice-facts.ts";
import type { AssessTestInput } from "#shared/advice/assess-test.ts";
import type { evennessMap, EvennessMap } from "#shared/evenness/evenness.ts";
import { TroubleError, type InputErrorCode } from "#shared/errors.ts";
import { readingTrouble } from "#shared/reading/reading-troubles.ts";

/** What the thread does: what each takes and gives. */
interface AssessJobs {
  readonly "assess-test": { readonly takes: AssessTestInput; readonly gives: TestAssessment };
  readonly "map-evenness": { readonly takes: Parameters<typeof evennessMap>; readonly gives: EvennessMap };
}
type AssessJobName = keyof AssessJobs;

export type AssessTask = {
  readonly [Name in AssessJobName]: {
    readonly id: number;
    readonly name: Name;
    readonly input: AssessJobs[Name]["takes"];
  };
}[AssessJobName];

export type AssessAnswer =
  | { readonly id: number; readonly kind: "done"; readonly result: AssessJobs[AssessJobName]["gives"] }
  | {
      readonly id: number;
      readonly kind: "trouble";
      readonly code: InputErrorCode;
      readonly trouble: { readonly code: string };
      readonly field: string | undefined;
      readonly extra: Readonly<Record<string, unknown>> | undefined;
    }
  | { readonly id: number; readonly kind: "failure"; readonly message: string };

export interface AssessThread {
  /** @throws TroubleError as `assessTest` does here, and "busy" when too many wait */
  assess(input: AssessTestInput): Promise<TestAssessment>;
  /** @throws TroubleError "busy" when too many wait */
  mapEvenness(...input: Parameters<typeof evennessMap>): Promise<EvennessMap>;
  close(): Promise<void>;
}

interface Waiting {
  readonly resolve: (result: AssessJobs[AssessJobName]["gives"]) => void;
  readonly reject: (reason: Error) => void;
}

/** Longest that the thread may be silent while somebody waits; a curve takes a tenth of a second. */
const silenceMs = 30_000;

/** Most curves that may wait; each has come through the queue of pictures, or is one change of a saved test. */
const mostWaiting = 128;

/** @param workerFile the bundled worker, .build/assess-worker.mjs */
export function startAssessThread(workerFile: string): AssessThread {
  const waiting = new Map<number, Waiting>();
  let nextId = 1;
  let isClosed = false;
  let worker: Worker | null = null;
  let silence: NodeJS.Timeout | undefined;

  /** The thread is gone, or silent for too long: those who wait are told, and the next one gets a fresh thread. */
  const fail = (from: Worker, reason: Error): void => {
    if (worker !== from) return;
    worker = null;
    clearTimeout(silence);
    void from.terminate();
    for (const each of waiting.values()) each.reject(reason);
    waiting.clear();
  };
  const watch = (from: Worker): void => {
    clearTimeout(silence);
    if (waiting.size === 0) return from.unref();
    silence = setTimeout(() => fail(from, new Error("A test's curve took too long.")), silenceMs);
  };
  const hear = (from: Worker, answer: AssessAnswer): void => {
    const asked = waiting.get(answer.id);
    waiting.delete(answer.id);
    watch(from);
    if (answer.kind === "done") asked?.resolve(answer.result);
    else if (answer.kind === "failure") asked?.reject(new Error(answer.message));
    else asked?.reject(new TroubleError(answer.code, answer.trouble, { field: answer.field, extra: answer.extra }));
  };
  const hire = (): Worker => {
    const fresh = new Worker(workerFile);
    fresh.on("message", (answer: AssessAnswer) => hear(fresh, answer));
    fresh.on("error", (error) => fail(fresh, error));
    fresh.on("exit", () => fail(fresh, new Error("The thread of the tests' curves ended.")));
    return fresh;
  };
  function run<Name extends AssessJobName>(
    name: Name,
    input: AssessJobs[Name]["takes"],
  ): Promise<AssessJobs[Name]["gives"]> {
    if (isClosed) return Promise.reject(new Error("The thread of the tests' curves is closed."));
    if (waiting.size >= mostWaiting) return Promise.reject(readingTrouble("busy", { code: "too-many-waiting" }));
    const id = nextId++;
    worker ??= hire();
    const used = worker;
    used.ref();
    return new Promise((resolve, reject) => {
      waiting.set(id, { resolve, reject });
      if (waiting.size === 1) watch(used);
      // The compiler does not see through the name that a job meets its own kind of input.
      used.postMessage({ id, name, input } as AssessTask);
    });
  }
  return {
    assess: (input) => run("assess-test", input),
    mapEvenness: (...input) => run("map-evenness", input),
    async close() {
      isClosed = true;
      clearTimeout(silence);
      await worker?.terminate();
    },
  };
}
