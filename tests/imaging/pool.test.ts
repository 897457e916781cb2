import { writeFileSync, mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, describe, expect, it } from "vitest";
import { InputError } from "#shared/errors.ts";
import type { ImagingPool } from "#src/imaging/jobs.ts";
import { createImagingPool } from "#src/imaging/pool.ts";
import { rootDir } from "#src/settings.ts";
import { blueprintDensities, stripFile } from "../support/pictures/strip-picture.ts";

const workerFile = join(rootDir, ".build", "imaging-worker.mjs");
const tablet = { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 } as const;
const corners = [
  [50, 60],
  [470, 60],
  [470, 140],
  [50, 140],
] as [[number, number], [number, number], [number, number], [number, number]];
const picture = await stripFile({ width: 520, height: 200, corners, densities: blueprintDensities });

let pool: ImagingPool | undefined;
afterEach(async () => {
  await pool?.close();
  pool = undefined;
});

/** A worker that does what a test needs: the picture's first byte says what. */
function troubleWorker(): string {
  const file = join(mkdtempSync(join(tmpdir(), "imaging-pool-")), "worker.mjs");
  writeFileSync(
    file,
    `import { parentPort } from "node:worker_threads";
     parentPort.on("message", ({ id, job }) => {
       switch (job.picture[0]) {
         case 1: process.exit(3);
         case 2: { const hoard = []; for (;;) hoard.push(new Array(1e6).fill(id)); }
         case 3: for (;;);
         case 4:
           parentPort.postMessage({ id, kind: "progress", share: 0.5 });
           parentPort.postMessage({ id, kind: "done", result: { slow: false } });
           break;
         case 5: setTimeout(() => parentPort.postMessage({ id, kind: "done", result: {} }), 200); break;
         case 6: parentPort.postMessage({ id, kind: "failure", message: "our own mistake" }); break;
       }
     });`,
  );
  return file;
}
const job = (kind: number) => ({ picture: Uint8Array.of(kind), maxSidePx: 1 });

describe("createImagingPool", () => {
  it("when asked to read, gives the same reading as in line, and keeps the sender's picture", async () => {
    pool = createImagingPool({ workerFile, threads: 1 });
    const { measureReading } = await import("#src/imaging/measure-reading.ts");
    const request = { tablet, corners };
    const reading = await pool.run("measure-reading", { picture, request });
    expect(reading).toEqual(await measureReading({ picture, request }));
    expect(picture.length).toBeGreaterThan(100);
  });

  it("when asked for a preview, gives an upright JPEG no larger than asked", async () => {
    pool = createImagingPool({ workerFile, threads: 1 });
    const preview = await pool.run("preview", { picture, maxSidePx: 260 });
    expect(preview).toMatchObject({ fullWidth: 520, fullHeight: 200, width: 260, height: 100 });
    expect([...preview.jpeg.subarray(0, 2)]).toEqual([0xff, 0xd8]);
  });

  it("when the picture is none, passes the input error on whole", async () => {
    pool = createImagingPool({ workerFile, threads: 1 });
    const run = pool.run("preview", { picture: new TextEncoder().encode("not a picture at all"), maxSidePx: 100 });
    await expect(run).rejects.toBeInstanceOf(InputError);
    await expect(run).rejects.toMatchObject({
      code: "not-a-picture",
      field: "photo",
      detail: expect.stringContaining("JPEG"),
    });
  });

  it("when a worker dies, fails its job and hires another", async () => {
    pool = createImagingPool({ workerFile: troubleWorker(), threads: 1 });
    await expect(pool.run("preview", job(1))).rejects.toThrow("worker failed");
    await expect(pool.run("preview", job(4))).resolves.toEqual({ slow: false });
  });

  it("when a worker runs out of memory, refuses the picture and hires another", async () => {
    pool = createImagingPool({ workerFile: troubleWorker(), threads: 1, heapMb: 48 });
    await expect(pool.run("preview", job(2))).rejects.toMatchObject({ code: "picture-too-large" });
    await expect(pool.run("preview", job(4))).resolves.toEqual({ slow: false });
  });

  it("when a job takes too long, stops it", async () => {
    pool = createImagingPool({ workerFile: troubleWorker(), threads: 1, timeLimitSeconds: 2 });
    await expect(pool.run("preview", job(3))).rejects.toMatchObject({ code: "busy" });
    await expect(pool.run("preview", job(4))).resolves.toEqual({ slow: false });
  });

  it("when too many wait, refuses the next as busy", async () => {
    pool = createImagingPool({ workerFile: troubleWorker(), threads: 1, queueLimit: 1 });
    const first = pool.run("preview", job(5));
    const second = pool.run("preview", job(5));
    await expect(pool.run("preview", job(5))).rejects.toMatchObject({ code: "busy" });
    await Promise.all([first, second]);
  });

  it("when the sender stops waiting, gives the job up and lets it run out: its worker stays whole", async () => {
    pool = createImagingPool({ workerFile: troubleWorker(), threads: 1 });
    const stop = new AbortController();
    const run = pool.run("preview", job(5), { signal: stop.signal });
    setTimeout(() => stop.abort(), 50);
    await expect(run).rejects.toThrow();
    await expect(pool.run("preview", job(4))).resolves.toEqual({ slow: false });
  });

  it("when the sender of a job that never ends stops waiting, ends it at the time limit", async () => {
    pool = createImagingPool({ workerFile: troubleWorker(), threads: 1, timeLimitSeconds: 1 });
    const stop = new AbortController();
    const run = pool.run("preview", job(3), { signal: stop.signal });
    setTimeout(() => stop.abort(), 50);
    await expect(run).rejects.toThrow();
    await expect(pool.run("preview", job(4))).resolves.toEqual({ slow: false });
  });

  it("when sixty jobs come at once, takes them all", async () => {
    pool = createImagingPool({ workerFile: troubleWorker(), threads: 2 });
    const answers = await Promise.all(Array.from({ length: 60 }, () => pool!.run("preview", job(4))));
    expect(answers).toHaveLength(60);
  });

  it("when a job reports progress, passes it on", async () => {
    pool = createImagingPool({ workerFile: troubleWorker(), threads: 1 });
    const shares: number[] = [];
    await pool.run("preview", job(4), { onProgress: (share) => shares.push(share) });
    expect(shares).toEqual([0.5]);
  });

  it("when the mistake is ours, throws a plain error", async () => {
    pool = createImagingPool({ workerFile: troubleWorker(), threads: 1 });
    await expect(pool.run("preview", job(6))).rejects.toThrow("our own mistake");
  });
});
