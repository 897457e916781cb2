import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, afterEach, describe, expect, it } from "vitest";
import type { Observation } from "#shared/studio-model/observation.ts";
import { startModelThread, type ModelThread } from "#src/studio/model-thread.ts";
import { plainObservation } from "../support/studios/plain-observation.ts";

const folder = mkdtempSync(join(tmpdir(), "wedgewright-thread-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

let thread: ModelThread | undefined;
afterEach(() => thread?.close());

/** A worker that answers with the task it was sent, in place of a fit. */
function workerFile(name: string, body: string): string {
  const file = join(folder, `${name}.mjs`);
  writeFileSync(file, `import { parentPort } from "node:worker_threads";\nimport * as fs from "node:fs";\n${body}`);
  return file;
}
const echo = `parentPort.on("message", (task) => parentPort.postMessage({ id: task.id, fit: { task } }));`;
const hang = `parentPort.on("message", () => { for (;;); });`;

function observation(id: string, logSeconds = 2.7): Observation {
  return plainObservation({ id, atMs: 0, seen: { kind: "measured", logSeconds, sigma: 0.02 } });
}

interface Echoed {
  readonly task: { isAnew: boolean; told: Observation[]; goneIds: string[] };
}

async function sent(observations: readonly Observation[], channel = "red"): Promise<Echoed["task"]> {
  // The worker above answers with its task where a fit would stand.
  return ((await thread!.fit({ channel, observations, events: [] })) as unknown as Echoed).task;
}

describe("the thread of the studio's model", () => {
  it("when it was told of tests before, is sent only those that are new or changed, and which are gone", async () => {
    thread = startModelThread(workerFile("echo", echo));
    const [a, b, c] = ["a", "b", "c"].map((id) => observation(id));
    expect((await sent([a!, b!])).told.map(({ id }) => id)).toEqual(["a", "b"]);
    const changed = observation("b", 2.9);
    const next = await sent([changed, c!]);
    expect(next).toMatchObject({ isAnew: false, goneIds: ["a"] });
    expect(next.told).toEqual([changed, c]);
    expect((await sent([changed, c!])).told).toEqual([]);
  });

  it("when another channel is fitted, keeps the two apart", async () => {
    thread = startModelThread(workerFile("echo", echo));
    await sent([observation("a")]);
    expect(await sent([observation("b")], "visual")).toMatchObject({ isAnew: true, goneIds: [] });
  });

  it("when a fit hangs, gives it up and asks a fresh thread, which is told everything", async () => {
    const marker = JSON.stringify(join(folder, "has-hung"));
    const file = workerFile(
      "hangs-once",
      `if (fs.existsSync(${marker})) { ${echo} } else { fs.writeFileSync(${marker}, ""); ${hang} }`,
    );
    thread = startModelThread(file, 2_000);
    expect(await sent([observation("a")])).toMatchObject({ isAnew: true, told: [{ id: "a" }] });
  });

  it("when a fresh thread hangs too, says so", async () => {
    thread = startModelThread(workerFile("hangs", hang), 500);
    await expect(sent([observation("a")])).rejects.toThrow(/too long/);
  });
});
