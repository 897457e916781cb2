// The packed program as `npx` and the container file run it, in empty folders: packed and installed by the container
// file's own steps, or given to npx as it is; started, asked, stopped.
import { execSync, spawn } from "node:child_process";
import { once } from "node:events";
import { existsSync, mkdirSync, readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { rootDir } from "#src/settings.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";
import { containerSteps } from "./container-steps.ts";

interface Lock {
  readonly packages: Readonly<Record<string, { readonly version?: string }>>;
}

const root = temporaryFolder();
const folders = { "/pack": join(root, "pack"), "/house": join(root, "house"), "/kept": join(root, "kept") };
const steps = containerSteps(folders);
const house = folders["/house"];

/** Starts a command in a folder, waits until it is ready, gives its address to `ask`, and stops it. */
async function whileRunning(
  command: readonly string[],
  { cwd = house, environment = {} }: { cwd?: string; environment?: Readonly<Record<string, string>> },
  ask: (address: string) => Promise<void>,
): Promise<void> {
  const { DATA_DIR: _, ...inherited } = process.env;
  const [program = "", ...rest] = command;
  const child = spawn(program === "node" ? process.execPath : program, rest, {
    cwd,
    env: { ...inherited, ...environment, PORT: "0" },
    stdio: ["ignore", "pipe", "inherit"],
    // npx starts the program as a child of its own: both are ended together.
    detached: true,
  });
  try {
    let said = "";
    child.stdout.setEncoding("utf8").on("data", (text: string) => (said += text));
    await expect.poll(() => /ready at (http:\S+)/.exec(said)?.[1], { timeout: 180_000 }).toBeDefined();
    await ask(/ready at (http:\S+)/.exec(said)?.[1] ?? "");
  } finally {
    if (child.pid !== undefined && child.exitCode === null) {
      const ended = once(child, "exit");
      process.kill(-child.pid, "SIGTERM");
      await ended;
    }
  }
}

async function expectPages(address: string): Promise<void> {
  const health = (await (await fetch(`${address}/api/health`)).json()) as { ok: boolean };
  expect(health.ok).toBe(true);
  const page = await (await fetch(address, { headers: { Accept: "text/html" } })).text();
  expect(page).toContain("I have a UV box");
  expect((await fetch(`${address}/scripts/site.js`)).status).toBe(200);
}

describe("the packed program", { timeout: 300_000 }, () => {
  beforeAll(() => {
    mkdirSync(house);
    // From what is fetched already, where that is enough.
    const env = { ...process.env, npm_config_prefer_offline: "true" };
    for (const command of steps.packing) execSync(command, { cwd: rootDir, env });
    for (const command of steps.installing) execSync(command, { cwd: house, env });
  }, 300_000);

  it("holds the program and its licence, and no tests", () => {
    const inside = readdirSync(join(house, "node_modules", "wedgewright"));
    expect(inside).toEqual(expect.arrayContaining(["src", "LICENSE", "docs", "views"]));
    expect(inside).not.toContain("tests");
    const packages = join(house, "node_modules", "wedgewright", "node_modules");
    expect(existsSync(join(packages, "vitest"))).toBe(false);
  });

  it("holds the very versions that the lock names", () => {
    const lock = JSON.parse(readFileSync(join(rootDir, "package-lock.json"), "utf8")) as Lock;
    const installed = JSON.parse(
      readFileSync(join(house, "node_modules", "wedgewright", "node_modules", ".package-lock.json"), "utf8"),
    ) as Lock;
    const versions = Object.entries(installed.packages).map(([name, { version }]) => [name, version]);
    expect(versions.length).toBeGreaterThan(50);
    expect(versions).toEqual(versions.map(([name = ""]) => [name, lock.packages[name]?.version]));
  });

  it("starts by npx in an empty folder and keeps its data there", () => {
    const tarball = readdirSync(folders["/pack"]).find((name) => name.endsWith(".tgz")) ?? "";
    const cwd = join(root, "empty");
    mkdirSync(cwd);
    const environment = { npm_config_prefer_offline: "true" };
    return whileRunning(
      ["npx", "--yes", "--package", join(folders["/pack"], tarball), "wedgewright"],
      { cwd, environment },
      async (address) => {
        await expectPages(address);
        expect(existsSync(join(cwd, "wedgewright-data", "wedgewright.db"))).toBe(true);
      },
    );
  });

  it("starts as the container does, and keeps its data in the container's volume", () => {
    expect(steps.command).toEqual(["node", "node_modules/wedgewright/src/launch.mjs", "start"]);
    return whileRunning(steps.command, { environment: steps.environment }, async (address) => {
      await expectPages(address);
      expect(existsSync(join(folders["/kept"], "wedgewright.db"))).toBe(true);
    });
  });
});
