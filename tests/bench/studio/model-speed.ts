// A studio of 10,000 tests in a real data folder: how long a lookup takes, how soon a saved test counts, how long the
// server stalls.
import { mkdirSync, mkdtempSync, rmSync } from "node:fs";
import { loadavg, tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { monitorEventLoopDelay } from "node:perf_hooks";
import { build } from "esbuild";
import { seededRandom } from "#shared/statistics/random.ts";
import { rootDir } from "#src/settings.ts";
import { openStore, type Store } from "#src/store/store.ts";
import { lookUpExposure } from "#src/studio/look-up-exposure.ts";
import { startModelThread } from "#src/studio/model-thread.ts";
import { studioModelReady } from "#src/studio/studio-model.ts";
import { curveWithShoulder, sampleTestRecord, savePicture } from "../../support/studios/sample-records.ts";
import { quantile } from "../statistics.ts";
import type { Print } from "../main.ts";

export const title = "the studio's model: lookup and update among 10,000 tests";

const tests = 10_000;
const sizes = { lamps: 5, supports: 20, coatings: 10 };
const lookups = 40;
const updates = 8;

/** More than the model weighs, so that no two tests that it weighs show one picture. */
const ownPictures = 2_100;
const firstDay = Date.UTC(2024, 0, 1);

interface Combination {
  readonly lampId: string;
  readonly supportId: string;
  readonly coatingId: string;
}

type Ids = Readonly<Record<keyof typeof sizes, readonly string[]>>;

export async function run(print: Print): Promise<void> {
  mkdirSync(join(rootDir, ".bench"), { recursive: true });
  const workerFile = join(rootDir, ".bench", "model-worker.mjs");
  await build({
    entryPoints: [fileURLToPath(new URL("../../../src/studio/model-worker.ts", import.meta.url))],
    outfile: workerFile,
    bundle: true,
    platform: "node",
    format: "esm",
    target: "node20",
    packages: "external",
    absWorkingDir: rootDir,
    logLevel: "warning",
  });
  const folder = mkdtempSync(join(tmpdir(), "wedgewright-bench-"));
  const store = openStore(folder);
  const modelThread = startModelThread(workerFile);
  try {
    const random = seededRandom(30_001);
    const speeds = new Map<string, number>();
    const speedOf = (key: string, spread: number): number => {
      const known = speeds.get(key) ?? spread * random.normal();
      speeds.set(key, known);
      return known;
    };
    const ids = store.transaction(() => materials(store));
    const pick = (list: readonly string[]): string => list[Math.floor(list.length * random.uniform())]!;
    const pictures: string[] = [];
    for (let i = 0; i < ownPictures; i++) pictures.push(await savePicture(store, `picture ${i}`));
    const save = (at: number): Combination => {
      const of = { lampId: pick(ids.lamps), supportId: pick(ids.supports), coatingId: pick(ids.coatings) };
      const logSeconds =
        2.6 +
        speedOf(of.lampId, 0.3) +
        speedOf(of.supportId, 0.12) +
        speedOf(of.coatingId, 0.12) +
        0.03 * random.normal();
      // Only the newest tests are weighed; the others may share pictures.
      saveTest(store, { of, at, logSeconds, pictureId: pictures[at % ownPictures]! });
      return of;
    };
    store.transaction(() => {
      for (let at = 0; at < tests; at++) save(at);
    });
    const delay = monitorEventLoopDelay({ resolution: 2 });
    delay.enable();
    const started = performance.now();
    await studioModelReady({ store, modelThread });
    print(
      `first fit ${(performance.now() - started).toFixed(0)} ms, of which ${stall(delay)} ms at most hold the ` +
        "server up",
    );
    const lookupMs: number[] = [];
    for (let i = 0; i < lookups; i++) {
      const query = {
        lampId: pick(ids.lamps),
        supportId: pick(ids.supports),
        coatingId: pick(ids.coatings),
        share: 0.9,
      };
      const begun = performance.now();
      await studioModelReady({ store, modelThread });
      lookUpExposure({ store }, query);
      lookupMs.push(performance.now() - begun);
    }
    print(
      `lookup among ${tests} tests: median ${quantile(lookupMs, 0.5).toFixed(1)}, worst ` +
        `${Math.max(...lookupMs).toFixed(1)} ms (goal 50)`,
    );
    const updateMs: number[] = [];
    const processorMs: number[] = [];
    delay.reset();
    for (let i = 0; i < updates; i++) {
      const of = store.transaction(() => save(tests + i));
      const before = process.cpuUsage();
      const begun = performance.now();
      await studioModelReady({ store, modelThread });
      lookUpExposure({ store }, { ...of, share: 0.9 });
      updateMs.push(performance.now() - begun);
      const { user, system } = process.cpuUsage(before);
      processorMs.push((user + system) / 1000);
    }
    print(
      `lookup right after a saved test: median ${quantile(updateMs, 0.5).toFixed(0)}, worst ` +
        `${Math.max(...updateMs).toFixed(0)} ms (goal 300); longest stall ${stall(delay)} ms (goal 50); ` +
        `processor time of both threads ${quantile(processorMs, 0.5).toFixed(0)} ms, load of the machine ` +
        loadavg()[0]!.toFixed(1),
    );
  } finally {
    await modelThread.close();
    store.close();
    rmSync(folder, { recursive: true, force: true });
  }
}

function stall(delay: { readonly max: number }): string {
  return (delay.max / 1e6).toFixed(0);
}

function saveTest(
  store: Store,
  { of, at, logSeconds, pictureId }: { of: Combination; at: number; logSeconds: number; pictureId: string },
): void {
  const record = sampleTestRecord({ ...of, filmId: "" }, pictureId, {
    filmId: null,
    madeAt: new Date(firstDay + at * 3_600_000).toISOString(),
  });
  store.tests.save({
    ...record,
    curve: curveWithShoulder(logSeconds),
    exposure: { ...record.exposure, seconds: 10 ** logSeconds },
  });
}

function materials(store: Store): Ids {
  const named = (count: number, make: (name: string) => { id: string }): string[] =>
    Array.from({ length: count }, (_, i) => make(`number ${i}`).id);
  const plain = { notes: "", archived: false };
  return {
    lamps: named(sizes.lamps, (name) => store.lamps.create({ ...plain, name, kind: "led" })),
    supports: named(sizes.supports, (name) => store.supports.create({ ...plain, name, kind: "paper" })),
    coatings: named(sizes.coatings, (name) => store.coatings.create({ ...plain, name })),
  };
}
