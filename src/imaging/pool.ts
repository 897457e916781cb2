// Keeps pictures off the server's own thread: a few workers, a short queue, and a fresh worker whenever one dies.
import { Worker } from "node:worker_threads";
import { TroubleError, type InputErrorCode } from "#shared/errors.ts";
import { readingTrouble, type WorkTrouble } from "#shared/reading/reading-troubles.ts";
import { errorInWords } from "#shared/words/trouble-words.ts";
import type { Decoded } from "./decode/decode.ts";
import type { ImagingJobName, ImagingJobs, ImagingPool, ImagingRunOptions } from "./jobs.ts";
import { KeptRasters } from "./decode/kept-rasters.ts";
import { giveRoomBack, pictureBudgetBytes, type BudgetCounter, type MemoryBudget } from "./decode/memory-budget.ts";

export interface PoolOptions {
  /** The bundled worker, .build/imaging-worker.mjs. */
  readonly workerFile: string;
  /** Workers at the same time, 1 or more. */
  readonly threads: number;
  /**
   * Jobs that may wait besides those running; more are refused as "busy". Default 64: a class that presses together;
   * uploads bound their bytes.
   */
  readonly queueLimit?: number;
  /** A job that takes longer is stopped. Default two minutes. */
  readonly timeLimitSeconds?: number;
  /** JavaScript memory of one worker; pictures themselves live outside it. Default 768. */
  readonly heapMb?: number;
}

/** What a worker is sent. */
export interface WorkerTask {
  readonly id: number;
  readonly name: ImagingJobName;
  readonly job: ImagingJobs[ImagingJobName]["takes"];
  readonly kept: Decoded | undefined;
  readonly mayKeep: boolean;
}

/** What a worker answers: a result, progress, a decoded picture for the next job, or trouble. */
export type WorkerAnswer =
  | { readonly id: number; readonly kind: "done"; readonly result: unknown }
  | { readonly id: number; readonly kind: "progress"; readonly share: number }
  | { readonly id: number; readonly kind: "keep"; readonly decoded: Decoded }
  | {
      readonly id: number;
      readonly kind: "trouble";
      readonly code: InputErrorCode;
      readonly trouble: { readonly code: string };
      readonly field: string | undefined;
      readonly extra: Readonly<Record<string, unknown>> | undefined;
    }
  | { readonly id: number; readonly kind: "failure"; readonly message: string; readonly stack: string | undefined };

interface Waiting {
  readonly id: number;
  readonly name: ImagingJobName;
  readonly job: ImagingJobs[ImagingJobName]["takes"];
  readonly resolve: (value: unknown) => void;
  readonly reject: (reason: unknown) => void;
  readonly onProgress: ((share: number) => void) | undefined;
  readonly signal: AbortSignal | undefined;
  readonly keepAs: string | undefined;
  stopListening: () => void;
}

/** The refusal of a job that is not done now. */
const busy = (trouble: WorkTrouble): unknown => errorInWords(readingTrouble("busy", trouble));

/** Workers that may be ending while as many others work. */
const placesPerThread = 4;

class Crew implements ImagingPool {
  readonly #options: Required<PoolOptions>;
  readonly #kept = new KeptRasters();
  readonly #queue: Waiting[] = [];
  readonly #idle: Worker[] = [];
  readonly #busy = new Map<Worker, { readonly waiting: Waiting; readonly timer: NodeJS.Timeout }>();
  /** Room for decoded pictures, one place a worker; those of workers that are just ending count until they are gone. */
  readonly #room: BudgetCounter;
  readonly #places = new Map<Worker, number>();
  #nextId = 1;
  #closed = false;

  constructor(options: PoolOptions) {
    this.#options = { queueLimit: 64, timeLimitSeconds: 120, heapMb: 768, ...options };
    if (!(this.#options.threads >= 1)) throw new RangeError("An imaging pool needs at least one thread.");
    this.#room = new Int32Array(new SharedArrayBuffer(4 * placesPerThread * this.#options.threads));
    // The first worker loads its libraries while nobody waits for it yet.
    const first = this.#hire();
    first.unref();
    this.#idle.push(first);
  }

  run<Name extends ImagingJobName>(
    name: Name,
    job: ImagingJobs[Name]["takes"],
    options: ImagingRunOptions = {},
  ): Promise<ImagingJobs[Name]["gives"]> {
    return new Promise<unknown>((resolve, reject) => {
      if (this.#closed) return reject(busy({ code: "stopping" }));
      if (options.signal?.aborted) return reject(stopped(options.signal));
      const allBusy = this.#busy.size >= this.#options.threads;
      if (allBusy && this.#queue.length >= this.#options.queueLimit) {
        return reject(busy({ code: "too-many-waiting" }));
      }
      const waiting: Waiting = {
        id: this.#nextId++,
        name,
        job,
        resolve,
        reject,
        onProgress: options.onProgress,
        signal: options.signal,
        keepAs: options.keepAs,
        stopListening: () => {},
      };
      if (options.signal) {
        const signal = options.signal;
        const stop = () => this.#leave(waiting, stopped(signal));
        signal.addEventListener("abort", stop, { once: true });
        waiting.stopListening = () => signal.removeEventListener("abort", stop);
      }
      this.#queue.push(waiting);
      this.#startNext();
      // A message between threads has no type; the worker's table of jobs holds each answer to its job.
    }) as Promise<ImagingJobs[Name]["gives"]>;
  }

  async close(): Promise<void> {
    this.#closed = true;
    this.#kept.clear();
    const stopping = busy({ code: "stopping" });
    for (const waiting of this.#queue.splice(0)) this.#settle(waiting, () => waiting.reject(stopping));
    const workers = [...this.#idle.splice(0), ...this.#busy.keys()];
    for (const { waiting, timer } of this.#busy.values()) {
      clearTimeout(timer);
      this.#settle(waiting, () => waiting.reject(stopping));
    }
    this.#busy.clear();
    await Promise.all(workers.map((worker) => worker.terminate()));
  }

  #settle(waiting: Waiting, act: () => void): void {
    waiting.stopListening();
    act();
  }

  #startNext(): void {
    while (!this.#closed && this.#queue.length > 0 && this.#busy.size < this.#options.threads) {
      const worker = this.#idle.pop() ?? this.#hire();
      const waiting = this.#queue.shift()!;
      const timer = setTimeout(
        () => this.#abandon(waiting, busy({ code: "took-too-long", limitSeconds: this.#options.timeLimitSeconds })),
        this.#options.timeLimitSeconds * 1000,
      );
      this.#busy.set(worker, { waiting, timer });
      worker.ref();
      const { id, name, job, keepAs } = waiting;
      const kept = keepAs === undefined ? undefined : this.#kept.find(keepAs);
      worker.postMessage({ id, name, job, kept, mayKeep: keepAs !== undefined } satisfies WorkerTask);
    }
  }

  /** Starts a worker. It does not keep the process alive while it has nothing to do. */
  #hire(): Worker {
    const taken = new Set(this.#places.values());
    const place = Math.max(
      0,
      this.#room.findIndex((_, index) => !taken.has(index)),
    );
    const worker = new Worker(this.#options.workerFile, {
      resourceLimits: { maxOldGenerationSizeMb: this.#options.heapMb },
      workerData: { counter: this.#room, place, budgetBytes: pictureBudgetBytes() } satisfies MemoryBudget,
    });
    this.#places.set(worker, place);
    worker.once("exit", () => {
      this.#places.delete(worker);
      giveRoomBack(this.#room, place);
    });
    worker.on("message", (answer: WorkerAnswer) => this.#hear(worker, answer));
    worker.on("error", (error: Error) => this.#lose(worker, error));
    worker.on("exit", (code) => this.#lose(worker, new Error(`The imaging worker ended with code ${code}.`)));
    return worker;
  }

  #hear(worker: Worker, answer: WorkerAnswer): void {
    const running = this.#busy.get(worker);
    if (running === undefined || running.waiting.id !== answer.id) return;
    const { waiting, timer } = running;
    if (answer.kind === "progress") {
      waiting.onProgress?.(answer.share);
      return;
    }
    if (answer.kind === "keep") {
      if (waiting.keepAs !== undefined) this.#kept.keep(waiting.keepAs, answer.decoded);
      return;
    }
    clearTimeout(timer);
    this.#busy.delete(worker);
    worker.unref();
    this.#idle.push(worker);
    this.#settle(waiting, () => {
      if (answer.kind === "done") waiting.resolve(answer.result);
      else if (answer.kind === "trouble") {
        const { code, trouble, field, extra } = answer;
        waiting.reject(errorInWords(new TroubleError(code, trouble, { field, extra })));
      } else waiting.reject(Object.assign(new Error(answer.message), { stack: answer.stack }));
    });
    this.#startNext();
  }

  /** A worker that is gone fails its job; the next job gets a fresh one. */
  #lose(worker: Worker, reason: Error & { code?: string }): void {
    const at = this.#idle.indexOf(worker);
    if (at >= 0) this.#idle.splice(at, 1);
    const running = this.#busy.get(worker);
    if (running === undefined) return;
    clearTimeout(running.timer);
    this.#busy.delete(worker);
    const outOfMemory = reason.code === "ERR_WORKER_OUT_OF_MEMORY";
    const error = outOfMemory
      ? errorInWords(readingTrouble("picture-too-large", { code: "too-much-memory" }, { cause: reason }))
      : new Error("An imaging worker failed.", { cause: reason });
    this.#settle(running.waiting, () => running.waiting.reject(error));
    this.#startNext();
  }

  /**
   * Nobody waits for this job any more: out of the queue with it. A job that runs is left to run out, and its answer is
   * dropped, since a worker that is ended in the middle of its work leaves memory behind; the time limit still ends it.
   */
  #leave(waiting: Waiting, reason: unknown): void {
    const queued = this.#queue.indexOf(waiting);
    if (queued >= 0) this.#queue.splice(queued, 1);
    this.#settle(waiting, () => waiting.reject(reason));
  }

  /** Gives a job up: out of the queue, or together with the worker that is busy with it. */
  #abandon(waiting: Waiting, reason: unknown): void {
    const queued = this.#queue.indexOf(waiting);
    if (queued >= 0) this.#queue.splice(queued, 1);
    for (const [worker, running] of this.#busy) {
      if (running.waiting !== waiting) continue;
      clearTimeout(running.timer);
      this.#busy.delete(worker);
      void worker.terminate();
    }
    this.#settle(waiting, () => waiting.reject(reason));
    this.#startNext();
  }
}

function stopped(signal: AbortSignal): unknown {
  return signal.reason instanceof Error ? signal.reason : new DOMException("The work was stopped.", "AbortError");
}

/** A pool of imaging workers. Close it when the server stops. @throws RangeError when threads is below 1 */
export function createImagingPool(options: PoolOptions): ImagingPool {
  return new Crew(options);
}
