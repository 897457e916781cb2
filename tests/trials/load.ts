// Twenty people at once: pictures sent and read, pages, lookups and timers, one reading in five given up half-way.
// Looks for failures, slow pages and memory that grows.
//   npm run test:load -- --people 20 --minutes 30 --seed 7
import { mkdtempSync, rmSync } from "node:fs";
import { readFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { rootDir } from "#src/settings.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import { numbersFrom, startServerProcess } from "./server-process.ts";

const { people, minutes, seed } = numbersFrom({ people: 8, minutes: 0.5, seed: 20260501 });
const random = seededRandom(seed);
const pick = <Item>(items: readonly Item[]): Item => items[Math.floor(random.uniform() * items.length)]!;
/** Memory is judged from this share of the run on, when caches and workers are warm. */
const warmShare = 1 / 6;
const mostGrowthMb = 150;
const goalPageP99Ms = 300;

const pictures = await Promise.all(
  ["cotton", "scan-on-paper"].map(async (name) => ({
    bytes: await readFile(join(rootDir, "samples", "pictures", `${name}.jpg`)),
    corners: (
      JSON.parse(await readFile(join(rootDir, "samples", "pictures", `${name}.truth.json`), "utf8")) as {
        corners: unknown;
      }
    ).corners,
  })),
);

const dataDir = mkdtempSync(join(tmpdir(), "load-data-"));
const temporaryDir = mkdtempSync(join(tmpdir(), "load-tmp-"));
const failures: string[] = [];
const times: Record<"page" | "test" | "reading" | "lookup" | "timer", number[]> = {
  page: [],
  test: [],
  reading: [],
  lookup: [],
  timer: [],
};
let refused = 0;
let abandoned = 0;

const server = await startServerProcess(dataDir, temporaryDir);
const { address } = server;
const make = async (path: string, body: unknown): Promise<string> => {
  const answer = await fetch(address + path, {
    method: "POST",
    body: JSON.stringify(body),
    headers: { "Content-Type": "application/json" },
  });
  return ((await answer.json()) as { id: string }).id;
};
const materials = {
  lampId: await make("/api/lamps", { name: "Box", kind: "tubes" }),
  supportId: await make("/api/supports", { name: "Paper" }),
  coatingId: await make("/api/coatings", { name: "Blue" }),
};
const testIds: string[] = [];

async function timed(kind: keyof typeof times, work: () => Promise<Response>): Promise<Response | undefined> {
  const begun = performance.now();
  try {
    const answer = await work();
    const body = await answer.arrayBuffer();
    times[kind].push(performance.now() - begun);
    if (answer.status === 503) refused++;
    else if (answer.status >= 400)
      failures.push(`${kind}: ${answer.status} ${Buffer.from(body).toString().slice(0, 200)}`);
    return new Response(body, { status: answer.status });
  } catch (error) {
    failures.push(`${kind}: ${String(error)}`);
    return undefined;
  }
}

function formFor(withCorners: boolean, more: object): FormData {
  const { bytes, corners } = pick(pictures);
  const form = new FormData();
  form.append("photo", new Blob([new Uint8Array(bytes)]), "photo.jpg");
  const tablet = { kind: "transmission", steps: 21, increment: 0.15 };
  form.append("request", JSON.stringify({ tablet, ...(withCorners ? { corners } : {}), ...more }));
  return form;
}

const acts: readonly (() => Promise<unknown>)[] = [
  async () => {
    const answer = await timed("test", () =>
      fetch(`${address}/api/tests`, { method: "POST", body: formFor(true, { ...materials, exposureSeconds: 480 }) }),
    );
    if (answer?.status === 201) testIds.push(((await answer.json()) as { id: string }).id);
  },
  async () => {
    if (random.uniform() > 0.2)
      return timed("reading", () => fetch(`${address}/api/readings`, { method: "POST", body: formFor(true, {}) }));
    // Given up while the tablet is being searched.
    abandoned++;
    return fetch(`${address}/api/readings`, {
      method: "POST",
      body: formFor(false, {}),
      signal: AbortSignal.timeout(Math.round(50 + random.uniform() * 700)),
    })
      .then((answer) => answer.arrayBuffer())
      .catch(() => undefined);
  },
  () => timed("page", () => fetch(`${address}${pick(["/", "/tests", "/studio", "/prints", "/sun", "/exposures"])}`)),
  () => timed("page", () => fetch(`${address}${testIds.length === 0 ? "/tests/new" : `/tests/${pick(testIds)}`}`)),
  () => timed("lookup", () => fetch(`${address}/api/exposures?${new URLSearchParams(materials).toString()}`)),
  async () => {
    const id = await make("/api/prints", { ...materials, exposureSeconds: 300 });
    await timed("timer", () => fetch(`${address}/prints/${id}/steps/0/start`, { method: "POST", redirect: "manual" }));
  },
];

const begun = performance.now();
const endsMs = begun + minutes * 60_000;
const memory: number[] = [];
const watch = setInterval(() => memory.push(server.memoryMb().now), 1000);
await Promise.all(
  Array.from({ length: people }, async () => {
    while (performance.now() < endsMs) {
      await pick(acts)();
      await new Promise((resolve) => setTimeout(resolve, 200 + random.uniform() * 800));
    }
  }),
);
clearInterval(watch);
const most = server.memoryMb().most;
await server.end("SIGTERM");
rmSync(dataDir, { recursive: true, force: true });
rmSync(temporaryDir, { recursive: true, force: true });

const percentile = (values: readonly number[], share: number): number =>
  [...values].sort((one, other) => one - other)[Math.min(values.length - 1, Math.floor(share * values.length))] ??
  Number.NaN;
const warm = memory.slice(Math.floor(memory.length * warmShare));
const third = Math.max(1, Math.floor(warm.length / 3));
const growth = percentile(warm.slice(-third), 0.5) - percentile(warm.slice(0, third), 0.5);
for (const failure of failures.slice(0, 20)) console.log(failure);
console.log(
  Object.entries(times)
    .map(
      ([kind, values]) =>
        `${kind}: ${values.length}, p50 ${percentile(values, 0.5).toFixed(0)} ms, p99 ` +
        `${percentile(values, 0.99).toFixed(0)} ms`,
    )
    .join("; "),
);
const pageP99 = percentile(times.page, 0.99);
console.log(
  `load: seed ${seed}, ${people} people, ${minutes} minutes, ${failures.length} failures, ${refused} asked to ` +
    `wait, ${abandoned} readings given up; ` +
    `pages p99 ${pageP99.toFixed(0)} ms (goal ${goalPageP99Ms}), memory at most ${most.toFixed(0)} MB, grown by ` +
    `${growth.toFixed(0)} MB after the first ${(minutes * warmShare).toFixed(1)} minutes`,
);
process.exit(failures.length === 0 && growth < mostGrowthMb ? 0 : 1);
