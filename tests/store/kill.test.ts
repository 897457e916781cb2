import { spawn } from "node:child_process";
import { createHash } from "node:crypto";
import { once } from "node:events";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { rootDir } from "#src/settings.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import { openStore } from "#src/store/store.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";

/** Saves in a child process and kills it without warning; gives what it had acknowledged. */
async function saveUntilKilled(
  dataDir: string,
  afterTests: number,
  delayMs: number,
): Promise<{ testId: string; pictureId: string }[]> {
  const child = spawn(
    process.execPath,
    ["--import", "tsx", join(rootDir, "tests", "store", "kill-child.ts"), dataDir],
    { cwd: rootDir, stdio: ["ignore", "pipe", "inherit"] },
  );
  let said = "";
  child.stdout.setEncoding("utf8");
  let isDoomed = false;
  child.stdout.on("data", (chunk: string) => {
    said += chunk;
    if (isDoomed || said.split("\n").length <= afterTests) return;
    isDoomed = true;
    setTimeout(() => child.kill("SIGKILL"), delayMs);
  });
  await once(child, "close");
  return said
    .split("\n")
    .slice(0, -1)
    .map((line) => {
      const [testId = "", pictureId = ""] = line.split(" ");
      return { testId, pictureId };
    });
}

describe("a server that is killed at any moment", () => {
  it("leaves a store that opens with every acknowledged test and its whole picture", async () => {
    const dataDir = temporaryFolder();
    const random = seededRandom(20260501);
    const acknowledged: { testId: string; pictureId: string }[] = [];
    for (let round = 0; round < 3; round += 1) {
      acknowledged.push(
        ...(await saveUntilKilled(dataDir, 1 + Math.floor(random.uniform() * 8), Math.floor(random.uniform() * 20))),
      );
      const store = openStore(dataDir);
      for (const { testId, pictureId } of acknowledged) {
        expect(store.tests.get(testId).pictureId).toBe(pictureId);
        const bytes = await store.pictures.read(pictureId);
        expect(createHash("sha256").update(bytes).digest("hex")).toBe(pictureId);
      }
      // At most the one that was under way when the blow fell is there without having been acknowledged.
      expect(store.tests.count() - acknowledged.length).toBeLessThanOrEqual(round + 1);
      for (const { id } of store.tests.list({ limit: 1000 }).tests)
        expect(store.tests.get(id).reading.steps.length).toBeGreaterThan(0);
      store.close();
    }
    expect(acknowledged.length).toBeGreaterThanOrEqual(3);
  }, 60_000);
});
