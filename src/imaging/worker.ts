// Runs in a worker thread: takes one job at a time and answers with its result or with plain trouble.
import sharp from "sharp";
import { parentPort, workerData } from "node:worker_threads";
import { TroubleError } from "#shared/errors.ts";
import { inspectPicture } from "./decode/decode.ts";
import { drawSheet } from "./draw-sheet.ts";
import type { ImagingJobName, ImagingJobs, JobContext } from "./jobs.ts";
import { measureField } from "./measure-field.ts";
import { giveRoomBack, useMemoryBudget, type MemoryBudget } from "./decode/memory-budget.ts";
import { measureSpots } from "./measure-spots.ts";
import { measureReading } from "./measure-reading.ts";
import { drawNegative } from "./negative/draw-negative.ts";
import { measureInkSheet } from "./sheet/measure-sheet.ts";
import { paintDrawing } from "./paint-drawing.ts";
import { letOthersGoFirst } from "./step-back.ts";
import type { WorkerAnswer, WorkerTask } from "./pool.ts";
import { makePreview } from "./decode/preview.ts";

/** One line for every kind of job. */
const jobs: {
  readonly [Name in ImagingJobName]: (
    takes: ImagingJobs[Name]["takes"],
    context: JobContext,
  ) => Promise<ImagingJobs[Name]["gives"]>;
} = {
  "measure-reading": measureReading,
  "inspect-picture": async ({ picture }) => {
    const { kind, uprightWidth, uprightHeight } = await inspectPicture(picture);
    return { kind, width: uprightWidth, height: uprightHeight };
  },
  preview: makePreview,
  "measure-ink-sheet": measureInkSheet,
  "measure-spots": measureSpots,
  "measure-field": measureField,
  "draw-sheet": drawSheet,
  "draw-negative": drawNegative,
  "paint-drawing": paintDrawing,
};

/** The compiler sees through this one name that a job meets its own kind of input. */
function run<Name extends ImagingJobName>(
  name: Name,
  job: ImagingJobs[Name]["takes"],
  context: JobContext,
): Promise<ImagingJobs[Name]["gives"]> {
  return jobs[name](job, context);
}

letOthersGoFirst("wholly");

// One picture uses one core, so that several at once leave room for the server; nothing is kept between pictures.
sharp.concurrency(1);
sharp.cache(false);

// The pool hands each of its workers a place in the budget that they share.
const budget = workerData as MemoryBudget | null;
if (budget !== null) useMemoryBudget(budget);

const port = parentPort;
port?.on("message", async ({ id, name, job, kept, mayKeep }: WorkerTask) => {
  const send = (answer: WorkerAnswer, transfer: readonly ArrayBuffer[] = []) => port.postMessage(answer, transfer);
  try {
    const context: JobContext = {
      onProgress: (share) => send({ id, kind: "progress", share }),
      ...(kept === undefined ? {} : { kept }),
      ...(mayKeep ? { keep: (decoded) => send({ id, kind: "keep", decoded }) } : {}),
    };
    const result = await run(name, job, context);
    send({ id, kind: "done", result }, buffersIn(result));
  } catch (error) {
    if (error instanceof TroubleError)
      send({ id, kind: "trouble", code: error.code, trouble: error.trouble, field: error.field, extra: error.extra });
    else if (error instanceof Error) send({ id, kind: "failure", message: error.message, stack: error.stack });
    else send({ id, kind: "failure", message: String(error), stack: undefined });
  } finally {
    if (budget !== null) giveRoomBack(budget.counter, budget.place);
  }
});

/**
 * The buffers of a result that can be handed over instead of copied: those wholly filled by one typed array. A `Buffer`
 * is copied, since its memory may belong to the library that made it, and Node 22 and newer refuse to hand such memory
 * over.
 */
function buffersIn(result: unknown): ArrayBuffer[] {
  if (typeof result !== "object" || result === null) return [];
  if (!ArrayBuffer.isView(result)) return Object.values(result).flatMap(buffersIn);
  const isWhole =
    !Buffer.isBuffer(result) && result.buffer instanceof ArrayBuffer && result.byteLength === result.buffer.byteLength;
  return isWhole ? [result.buffer as ArrayBuffer] : [];
}
