// Negatives in the making that nobody waits for: progress, result and cancelling, kept for a while.
import { randomBytes } from "node:crypto";
import { rmSync } from "node:fs";
import { rename, rm, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { InputError } from "#shared/errors.ts";
import type { NegativeProgress } from "#shared/schema/negative.ts";
import { ourMistakeWords, refusal } from "#shared/words/refusal-words.ts";
import { makeNegative, type NegativeFile, type NegativeWish } from "./make-negative.ts";
import { makeSeries, type SeriesWish } from "./make-series.ts";
import type { Tools } from "#src/studio/tools.ts";

/** Finished negatives are kept so long. */
const keptMs = 30 * 60_000;
/** So often a folder is tried to be removed, each time a tenth of a second later: something may write there still. */
const removeTries = 10;
/** Most negatives kept or in the making. */
const mostJobs = 12;

interface Job {
  state: NegativeProgress["state"];
  share: number;
  detail: string | null;
  made: Omit<NegativeFile, "bytes"> | null;
  readonly folder: string;
  readonly stop: AbortController;
  endedMs: number;
}

type JobWish = Omit<NegativeWish, "signal" | "onProgress"> | Omit<SeriesWish, "signal" | "onProgress">;

export interface NegativeJobs {
  /** Starts one; its work folder belongs to it from now on. */
  start(wish: JobWish): string;
  /** @throws InputError "not-found" */
  progress(id: string): Omit<NegativeProgress, "id" | "file" | "fileName"> & { nameWords: readonly string[] | null };
  /** Path and kind of the finished file. @throws InputError "not-found" */
  file(id: string): Omit<NegativeFile, "bytes"> & { path: string };
  /** Stops it if it runs and forgets it. @throws InputError "not-found" */
  cancel(id: string): void;
}

export function negativeJobs(tools: Pick<Tools, "store" | "imaging">, now: () => number = Date.now): NegativeJobs {
  const jobs = new Map<string, Job>();
  // The folder of one in the making goes when its making ends: until then something may write there.
  const forget = (id: string, job: Job) => {
    jobs.delete(id);
    if (job.state !== "working") rmSync(job.folder, { recursive: true, force: true });
  };
  const tidy = () => {
    for (const [id, job] of jobs) if (job.state !== "working" && now() - job.endedMs > keptMs) forget(id, job);
    for (const [id, job] of jobs) if (jobs.size >= mostJobs && job.state !== "working") forget(id, job);
  };
  const get = (id: string): Job => {
    tidy();
    const job = jobs.get(id);
    if (job === undefined) throw refusal("not-found", { code: "negative-forgotten" });
    return job;
  };
  return {
    start(wish) {
      tidy();
      if (jobs.size >= mostJobs) throw refusal("busy", { code: "too-many-negatives" });
      const id = randomBytes(9).toString("base64url");
      const job: Job = {
        state: "working",
        share: 0,
        detail: null,
        made: null,
        folder: wish.workFolder,
        stop: new AbortController(),
        endedMs: 0,
      };
      jobs.set(id, job);
      void run(tools, wish, job)
        .then(async () => {
          job.endedMs = now();
          if (!jobs.has(id))
            await rm(job.folder, { recursive: true, force: true, maxRetries: removeTries, retryDelay: 100 });
        })
        .catch((error: unknown) => console.error(error));
      return id;
    },
    progress(id) {
      const { state, share, detail, made } = get(id);
      return {
        state,
        share,
        detail,
        warnings: made?.warnings ?? [],
        nameWords: made?.nameWords ?? null,
        madeId: made?.madeId ?? null,
      };
    },
    file(id) {
      const { made, folder } = get(id);
      if (made === null) throw refusal("not-found", { code: "negative-not-ready" });
      return { ...made, path: join(folder, "negative") };
    },
    cancel(id) {
      const job = get(id);
      job.stop.abort();
      forget(id, job);
    },
  };
}

async function run(tools: Pick<Tools, "store" | "imaging">, wish: JobWish, job: Job): Promise<void> {
  const onProgress = (share: number): void => {
    job.share = share;
  };
  const { signal } = job.stop;
  try {
    const finished = join(job.folder, "negative");
    if ("pictures" in wish) {
      const { path, ...made } = await makeSeries(tools, { ...wish, signal, onProgress });
      await rename(path, finished);
      job.made = made;
    } else {
      const { bytes, ...made } = await makeNegative(tools, { ...wish, signal, onProgress });
      await writeFile(finished, bytes);
      job.made = made;
    }
    Object.assign(job, { state: "done", share: 1 });
  } catch (error) {
    if (job.stop.signal.aborted) job.state = "cancelled";
    else {
      job.state = "failed";
      job.detail = error instanceof InputError ? error.detail : `${ourMistakeWords} Try again.`;
      if (!(error instanceof InputError)) console.error(error);
    }
  }
}
