// Kills the server (signal 9) at random moments of saving, changing, deleting, restoring and making negatives, and
// looks after each next start whether everything that it had acknowledged is there.
//   npm run test:durability -- --kills 300 --seed 7
import { createHash } from "node:crypto";
import { mkdtempSync, readdirSync, rmSync } from "node:fs";
import { readFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { seededRandom } from "#shared/statistics/random.ts";
import { blueprintDensities, stripFile } from "../support/pictures/strip-picture.ts";
import { numbersFrom, startServerProcess, type ServerProcess } from "./server-process.ts";

const { kills, seed } = numbersFrom({ kills: 8, seed: 20260501 });
const random = seededRandom(seed);
const pick = <Item>(items: readonly Item[]): Item | undefined => items[Math.floor(random.uniform() * items.length)];

const corners = [
  [50, 60],
  [470, 60],
  [470, 140],
  [50, 140],
] as [[number, number], [number, number], [number, number], [number, number]];
const strip = await stripFile({ width: 520, height: 200, corners, densities: blueprintDensities });
const tablet = { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 };

/**
 * What was acknowledged: a test's name, or null once it was deleted. What is under way when the blow falls may be
 * either.
 */
const names = new Map<string, string | null>();
const pictureIds = new Map<string, string>();
const unsure = new Set<string>();
const lampIds = new Set<string>();
let materials: { lampId: string; supportId: string; coatingId: string } | undefined;
let number = 0;
const troubles: string[] = [];
const counts = { saved: 0, changed: 0, deleted: 0, restored: 0, negatives: 0 };

async function json(address: string, path: string, method: string, body?: unknown): Promise<Record<string, unknown>> {
  const answer = await fetch(address + path, {
    method,
    ...(body === undefined ? {} : { body: JSON.stringify(body), headers: { "Content-Type": "application/json" } }),
  });
  if (!answer.ok) throw new Error(`${method} ${path}: ${answer.status} ${await answer.text()}`);
  return answer.status === 204 ? {} : ((await answer.json()) as Record<string, unknown>);
}

async function saveTest(address: string): Promise<void> {
  const name = `test ${++number}`;
  const form = new FormData();
  // Bytes after the picture's end make each file a different one.
  form.append(
    "photo",
    new Blob([new Uint8Array(Buffer.concat([strip, Buffer.from(`${seed} ${number}`)]))]),
    "strip.jpg",
  );
  form.append("request", JSON.stringify({ tablet, corners, ...materials, exposureSeconds: 480, name }));
  const answer = await fetch(`${address}/api/tests`, { method: "POST", body: form });
  if (answer.status !== 201) throw new Error(`POST /api/tests: ${answer.status} ${await answer.text()}`);
  const saved = (await answer.json()) as { id: string; pictureId: string };
  names.set(saved.id, name);
  pictureIds.set(saved.id, saved.pictureId);
  counts.saved++;
}

const living = (): string[] => [...names].filter(([id, name]) => name !== null && !unsure.has(id)).map(([id]) => id);

async function changeTest(address: string): Promise<void> {
  const id = pick(living());
  if (id === undefined) return;
  const name = `changed ${++number}`;
  unsure.add(id);
  await json(address, `/api/tests/${id}`, "PATCH", { name });
  names.set(id, name);
  unsure.delete(id);
  counts.changed++;
}

async function deleteTest(address: string): Promise<void> {
  const id = pick(living());
  if (id === undefined || living().length < 5) return;
  unsure.add(id);
  await json(address, `/api/tests/${id}`, "DELETE");
  names.set(id, null);
  unsure.delete(id);
  counts.deleted++;
}

async function addLamp(address: string): Promise<void> {
  lampIds.add(String((await json(address, "/api/lamps", "POST", { name: `lamp ${++number}` }))["id"]));
}

/** Saves everything and restores it at once: whether the blow falls before or after the exchange, the same is there. */
async function restoreSame(address: string): Promise<void> {
  const archive = await (await fetch(`${address}/api/backup`)).arrayBuffer();
  const answer = await fetch(`${address}/api/restore`, {
    method: "POST",
    body: archive,
    headers: { "Content-Type": "application/x-tar" },
  });
  if (!answer.ok) throw new Error(`POST /api/restore: ${answer.status} ${await answer.text()}`);
  counts.restored++;
}

async function makeNegative(address: string): Promise<void> {
  const form = new FormData();
  form.append("photo", new Blob([new Uint8Array(strip)]), "strip.jpg");
  form.append("request", JSON.stringify({ widthMm: 100, dpi: 300, mirror: true, format: "png" }));
  const answer = await fetch(`${address}/api/negatives`, { method: "POST", body: form });
  await answer.arrayBuffer();
  counts.negatives++;
}

/** Works until the server is gone. Refusals before that are trouble. */
async function workUntilGone(server: ServerProcess, isRestoreRound: boolean, onFirst: () => void): Promise<void> {
  let isGone = false;
  let isFirst = true;
  server.child.once("close", () => (isGone = true));
  const acts = [saveTest, saveTest, saveTest, changeTest, changeTest, deleteTest, addLamp, makeNegative];
  const hand = async (): Promise<void> => {
    while (!isGone) {
      try {
        await (isRestoreRound ? restoreSame : (pick(acts) ?? saveTest))(server.address);
        if (isFirst) onFirst();
        isFirst = false;
      } catch (error) {
        // The connection breaks when the blow falls; whatever else is said is a refusal.
        if (error instanceof TypeError || isGone) return;
        troubles.push(error instanceof Error ? error.message : String(error));
        return;
      }
    }
  };
  await Promise.all(isRestoreRound ? [hand()] : [hand(), hand(), hand()]);
}

async function isPictureWhole(dataDir: string, pictureId: string): Promise<boolean> {
  const file = join(dataDir, "pictures", pictureId.slice(0, 2), `${pictureId}.png`);
  const bytes = await readFile(file).catch(() => Buffer.alloc(0));
  return createHash("sha256").update(bytes).digest("hex") === pictureId;
}

async function look(address: string, dataDir: string): Promise<void> {
  for (const [id, name] of names) {
    const answer = await fetch(`${address}/api/tests/${id}`);
    const isHere = answer.status === 200;
    const test = isHere ? ((await answer.json()) as { name: string; pictureId: string }) : undefined;
    if (unsure.has(id)) {
      names.set(id, test?.name ?? null);
      unsure.delete(id);
    } else if (name === null && isHere) troubles.push(`${id} was deleted and is here again`);
    else if (name !== null && test?.name !== name) troubles.push(`${id} should be "${name}" and is "${test?.name}"`);
    if (test === undefined) continue;
    if (!(await isPictureWhole(dataDir, test.pictureId))) troubles.push(`the picture of ${id} is not whole`);
  }
  await lookForLamps(address);
}

async function lookForLamps(address: string): Promise<void> {
  for (const id of lampIds)
    if ((await fetch(`${address}/api/lamps/${id}`)).status !== 200) troubles.push(`the lamp ${id} is gone`);
}

const dataDir = mkdtempSync(join(tmpdir(), "durability-data-"));
const temporaryDir = mkdtempSync(join(tmpdir(), "durability-tmp-"));
let slowestStart = 0;
let leftovers = 0;
try {
  for (let round = 0; round <= kills; round++) {
    const server = await startServerProcess(dataDir, temporaryDir);
    slowestStart = Math.max(slowestStart, server.startSeconds);
    leftovers += readdirSync(dataDir).filter((name) => name.startsWith("passing-")).length;
    leftovers += readdirSync(temporaryDir).filter((name) => name.startsWith("wedgewright-")).length;
    await look(server.address, dataDir);
    if (materials === undefined) {
      const idOf = async (path: string): Promise<string> =>
        String((await json(server.address, path, "POST", { name: "x" }))["id"]);
      materials = {
        lampId: await idOf("/api/lamps"),
        supportId: await idOf("/api/supports"),
        coatingId: await idOf("/api/coatings"),
      };
      for (let n = 0; n < 3; n++) await saveTest(server.address);
    }
    if (round === kills) {
      await server.end("SIGTERM");
      break;
    }
    // The blow falls at a random moment after the first act was acknowledged; of a restore, at any moment of it.
    const isRestoreRound = round % 4 === 3;
    const strike = (): void => void setTimeout(() => server.child.kill("SIGKILL"), random.uniform() * 1500);
    if (isRestoreRound) setTimeout(() => server.child.kill("SIGKILL"), 50 + random.uniform() * 2500);
    await workUntilGone(server, isRestoreRound, isRestoreRound ? () => undefined : strike);
    await server.end("SIGKILL");
  }
} finally {
  rmSync(dataDir, { recursive: true, force: true });
  rmSync(temporaryDir, { recursive: true, force: true });
}
for (const trouble of troubles.slice(0, 20)) console.log(trouble);
console.log(
  `durability: seed ${seed}, ${kills} kills, ${counts.saved} tests saved, ${counts.changed} changed, ` +
    `${counts.deleted} deleted, ${lampIds.size} lamps, ` +
    `${counts.restored} restores, ${counts.negatives} negatives; slowest start ${slowestStart.toFixed(1)} s, ` +
    `${leftovers} leftovers, ${troubles.length} lost or wrong`,
);
process.exit(troubles.length === 0 && leftovers === 0 ? 0 : 1);
