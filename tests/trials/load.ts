// Many people at once: pictures of 12 million pixels sent and read, pages, lookups and timers, one reading in five
// given up half-way. Looks for failures, slow pages and memory that grows, beside what the same requests take alone.
//   npm run test:load -- --people 20 --minutes 30 --seed 7
// With --goals 1 a goal of time that was missed fails too; for a machine with nothing else to do.
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { seededRandom } from "#shared/statistics/random.ts";
import { askerOf } from "./asking.ts";
import { LoadPeople, type Kind } from "./load-people.ts";
import { loadPictures } from "./load-pictures.ts";
import { numbersFrom, startServerProcess } from "./server-process.ts";

const { people, minutes, seed, goals } = numbersFrom({ people: 8, minutes: 0.5, seed: 20260501, goals: 0 });
/** Memory is judged from here on, when caches and workers are warm: five minutes, of a short run its third. */
const warmMinutes = Math.min(5, minutes / 3);
const mostGrowthMb = 150;
const mostMemoryMb = 1200;
const goalPageP99Ms = 300;
const testsBefore = 12;
const roundsAlone = 12;

const dataDir = mkdtempSync(join(tmpdir(), "load-data-"));
const temporaryDir = mkdtempSync(join(tmpdir(), "load-tmp-"));
const server = await startServerProcess(dataDir, temporaryDir);
const crowd = new LoadPeople(askerOf(server.address), seededRandom(seed), await loadPictures(seed));
await crowd.moveIn(testsBefore);
const alone = await crowd.alone(roundsAlone);

const begun = performance.now();
const isOver = (): boolean => performance.now() - begun > minutes * 60_000;
const memory: number[] = [];
const watch = setInterval(() => memory.push(server.memoryMb().now), 1000);
await Promise.all([crowd.watch(isOver), ...Array.from({ length: people }, () => crowd.person(isOver))]);
clearInterval(watch);
const { most } = server.memoryMb();
const errors = server.errors();
await server.end("SIGTERM");
rmSync(dataDir, { recursive: true, force: true });
rmSync(temporaryDir, { recursive: true, force: true });

function percentile(values: readonly number[], share: number): number {
  const rising = [...values].sort((one, other) => one - other);
  return rising[Math.min(values.length - 1, Math.floor(share * values.length))] ?? Number.NaN;
}
const figures = (values: readonly number[]): string =>
  `n ${values.length}, p50 ${percentile(values, 0.5).toFixed(0)} ms, p99 ${percentile(values, 0.99).toFixed(0)} ms`;

const { times, failures, refused, abandoned } = crowd;
for (const failure of failures.slice(0, 20)) console.log(failure);
if (errors !== "") console.log(errors.slice(0, 4000));
for (const [path, values] of crowd.byPage) console.log(`page ${path}: ${figures(values)}`);
for (const kind of Object.keys(times) as Kind[])
  console.log(`${kind}: ${figures(times[kind])}; alone ${figures(alone[kind])}`);
const warm = memory.slice(Math.floor(warmMinutes * 60));
const third = Math.max(1, Math.floor(warm.length / 3));
const growth = percentile(warm.slice(-third), 0.5) - percentile(warm.slice(0, third), 0.5);
const pageP99 = percentile(times.page, 0.99);
console.log(
  `load: seed ${seed}, ${people} people, ${minutes} minutes, ${failures.length} failures, ${refused} asked to wait, ` +
    `${abandoned} readings given up; pages p99 ${pageP99.toFixed(0)} ms (goal ${goalPageP99Ms}; alone ` +
    `${percentile(alone.page, 0.99).toFixed(0)}), memory at most ${most.toFixed(0)} MB (goal ${mostMemoryMb}), grown ` +
    `by ${growth.toFixed(0)} MB after the first ${warmMinutes.toFixed(1)} minutes`,
);
const isInTime = goals === 0 || pageP99 < goalPageP99Ms;
process.exit(failures.length === 0 && growth < mostGrowthMb && most < mostMemoryMb && isInTime ? 0 : 1);
