// A large studio is saved as one file and restored, while others go on saving and deleting: everything that was
// acknowledged before is in the file, by its hash, and the server's memory does not grow with it.
import { createReadStream, createWriteStream, mkdtempSync, rmSync, statSync } from "node:fs";
import { request } from "node:http";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Readable } from "node:stream";
import { pipeline } from "node:stream/promises";
import type { ReadableStream } from "node:stream/web";
import { seededRandom } from "#shared/statistics/random.ts";
import { RecordedStudio } from "./recorded-studio.ts";
import { startServerProcess, type ServerProcess } from "./server-process.ts";

/** Bytes added to each picture: a small photo's length. */
const paddingBytes = 200_000;
const handsAtFirst = 3;
/** More than this, beside what the server held before, is memory that grows with the archive [MB]. */
const mostGrowthMb = 200;

export interface BackupTrialResult {
  readonly summary: string;
  readonly troubles: readonly string[];
}

/** Watches the memory of a server from now until `end`, which gives how much it grew [MB]. */
function watchMemory(server: ServerProcess): { end(): number } {
  const before = server.memoryMb().now;
  let most = before;
  const timer = setInterval(() => (most = Math.max(most, server.memoryMb().now)), 100);
  return {
    end() {
      clearInterval(timer);
      return most - before;
    },
  };
}

/** Saves, changes and deletes tests until `work` is done. */
async function whileOthersWork<Result>(
  studio: RecordedStudio,
  address: string,
  work: () => Promise<Result>,
): Promise<Result> {
  let isOver = false;
  const hand = async (): Promise<void> => {
    while (!isOver) {
      await studio.saveTest(address);
      await studio.deleteTest(address);
      await studio.changeTest(address);
    }
  };
  const others = hand().catch((error: unknown) => void studio.troubles.push(`beside it: ${String(error)}`));
  try {
    return await work();
  } finally {
    isOver = true;
    await others;
  }
}

async function save(address: string, file: string): Promise<void> {
  const answer = await fetch(`${address}/api/backup`);
  if (answer.status !== 200 || answer.body === null) throw new Error(`GET /api/backup: ${answer.status}`);
  // The types of fetch and of Node's streams tell the same thing in two ways.
  await pipeline(Readable.fromWeb(answer.body as ReadableStream), createWriteStream(file));
}

function restore(address: string, file: string): Promise<void> {
  return new Promise((resolve, reject) => {
    const sent = request(
      `${address}/api/restore`,
      { method: "POST", headers: { "Content-Type": "application/x-tar", "Content-Length": statSync(file).size } },
      (answer) => {
        let text = "";
        answer.setEncoding("utf8").on("data", (piece: string) => (text += piece));
        answer.on("end", () =>
          answer.statusCode === 200 ? resolve() : reject(new Error(`POST /api/restore: ${answer.statusCode} ${text}`)),
        );
      },
    );
    pipeline(createReadStream(file), sent).catch(reject);
  });
}

export async function backupTrial({ tests, seed }: { tests: number; seed: number }): Promise<BackupTrialResult> {
  const studio = new RecordedStudio(seededRandom(seed + 1), { padding: paddingBytes });
  const folders = ["data", "tmp", "other-data", "other-tmp", "file"].map((name) =>
    mkdtempSync(join(tmpdir(), `backup-${name}-`)),
  );
  const [dataDir = "", temporaryDir = "", otherDataDir = "", otherTemporaryDir = "", fileDir = ""] = folders;
  const file = join(fileDir, "everything.tar");
  const servers: ServerProcess[] = [];
  try {
    const server = await startServerProcess(dataDir, temporaryDir);
    const other = await startServerProcess(otherDataDir, otherTemporaryDir);
    servers.push(server, other);
    await studio.moveIn(server.address);
    const fill = async (): Promise<void> => {
      while (studio.counts.saved < tests) await studio.saveTest(server.address);
    };
    await Promise.all(Array.from({ length: handsAtFirst }, fill));

    const before = studio.certain();
    const backupMemory = watchMemory(server);
    const begun = performance.now();
    await whileOthersWork(studio, server.address, () => save(server.address, file));
    const backupSeconds = (performance.now() - begun) / 1000;
    const backupGrowthMb = backupMemory.end();
    await studio.look(server.address, dataDir);

    // On a machine of its own the file must hold what was there before it was begun, or what it was changed into since.
    const unchanged = new Map([...before].filter(([id, name]) => studio.certain().get(id) === name));
    const restoreMemory = watchMemory(other);
    const restoreBegun = performance.now();
    await restore(other.address, file);
    const restoreSeconds = (performance.now() - restoreBegun) / 1000;
    const restoreGrowthMb = restoreMemory.end();
    const whole = await studio.lookForAll(other.address, otherDataDir, unchanged);

    // Where it came from, others save and delete while it is restored; what they touched may be either.
    const inFile = studio.certain();
    await whileOthersWork(studio, server.address, () => restore(server.address, file));
    const untouched = new Map(
      [...unchanged].filter(([id, name]) => inFile.get(id) === name && studio.certain().get(id) === name),
    );
    const wholeHere = await studio.lookForAll(server.address, dataDir, untouched);
    const megabytes = statSync(file).size / 1e6;
    for (const [what, growthMb] of [
      ["saving", backupGrowthMb],
      ["restoring", restoreGrowthMb],
    ] as const)
      if (growthMb > mostGrowthMb) studio.troubles.push(`${what} took ${growthMb.toFixed(0)} MB of memory`);
    for (const each of servers) await each.end("SIGTERM");
    const count = (some: ReadonlyMap<string, string | null>): number =>
      [...some.values()].filter((name) => name !== null).length;
    return {
      troubles: studio.troubles,
      summary:
        `backup: seed ${seed}, ${tests} tests, file of ${megabytes.toFixed(0)} MB saved in ` +
        `${backupSeconds.toFixed(1)} s (memory +${backupGrowthMb.toFixed(0)} MB), restored in ` +
        `${restoreSeconds.toFixed(1)} s (+${restoreGrowthMb.toFixed(0)} MB), ${studio.counts.saved - tests} saved ` +
        `and ${studio.counts.deleted} deleted meanwhile; by hash whole elsewhere ${whole} of ${count(unchanged)}, ` +
        `here ${wholeHere} of ${count(untouched)}, ${studio.troubles.length} lost or wrong`,
    };
  } finally {
    for (const each of servers) each.child.kill("SIGKILL");
    for (const folder of folders) rmSync(folder, { recursive: true, force: true });
  }
}
