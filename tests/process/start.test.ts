// The server as its user meets it: a process that starts, or ends with one clear line.
import { spawn, spawnSync } from "node:child_process";
import { once } from "node:events";
import { chmodSync, writeFileSync } from "node:fs";
import { createServer, type AddressInfo } from "node:net";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { rootDir } from "#src/settings.ts";
import { migrations } from "#src/store/migrations/all.ts";
import { openStore } from "#src/store/store.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";

const built = join(rootDir, ".build", "main.mjs");
const startBuilt = [
  "--input-type=module",
  "--eval",
  `import { start } from ${JSON.stringify(built)}; await start({ demo: false });`,
];

interface Ending {
  readonly code: number | null;
  readonly errorLines: readonly string[];
}

function startUntilEnd(
  environment: Readonly<Record<string, string>>,
  nodeArguments: readonly string[] = startBuilt,
): Ending {
  const result = spawnSync(process.execPath, [...nodeArguments], {
    cwd: rootDir,
    env: { ...process.env, PORT: "0", ...environment },
    encoding: "utf8",
    timeout: 20_000,
  });
  return { code: result.status, errorLines: result.stderr.split("\n").filter((line) => line !== "") };
}

function expectOneLine(ending: Ending, pattern: RegExp): void {
  expect(ending.errorLines).toHaveLength(1);
  expect(ending.errorLines[0]).toMatch(pattern);
  expect(ending.code).toBe(1);
}

beforeAll(() => {
  spawnSync(process.execPath, [join(rootDir, "src", "build.mjs")], { cwd: rootDir });
});

describe("a start that cannot succeed ends with one line and the code 1", () => {
  it("when the port is taken", async () => {
    const other = createServer().listen(0, "127.0.0.1");
    await once(other, "listening");
    const { port } = other.address() as AddressInfo;
    expectOneLine(
      startUntilEnd({ PORT: String(port), DATA_DIR: temporaryFolder() }),
      new RegExp(`Port ${port} is taken.*PORT`),
    );
    other.close();
  });

  it.each(["eighty", "70000"])("when PORT is %s", (port) => {
    expectOneLine(startUntilEnd({ PORT: port, DATA_DIR: temporaryFolder() }), /PORT must be a whole number/);
  });

  it("when HOST is no address of this machine", () => {
    expectOneLine(startUntilEnd({ HOST: "203.0.113.7", DATA_DIR: temporaryFolder() }), /HOST/);
  });

  it("when a file stands where the data folder should be", () => {
    const file = join(temporaryFolder(), "data");
    writeFileSync(file, "");
    expectOneLine(startUntilEnd({ DATA_DIR: file }), /data folder .* cannot be used/);
  });

  it.runIf(process.platform === "linux")("when no data folder can be made at all", () => {
    expectOneLine(startUntilEnd({ DATA_DIR: "/proc/wedgewright" }), /no folder can be made there/);
  });

  it.skipIf(process.getuid?.() === 0)("when the data folder is not writable", () => {
    const folder = temporaryFolder();
    chmodSync(folder, 0o500);
    expectOneLine(startUntilEnd({ DATA_DIR: folder }), /not writable/);
    chmodSync(folder, 0o700);
  });

  it("when the data folder is from a newer version", () => {
    const folder = temporaryFolder();
    openStore(folder, {
      migrations: [...migrations, { number: 9999, name: "later", script: "CREATE TABLE later (id TEXT) STRICT" }],
    }).close();
    expectOneLine(startUntilEnd({ DATA_DIR: folder }), /newer version/);
  });

  it("when another server works in the data folder", async () => {
    const folder = temporaryFolder();
    const first = spawn(process.execPath, startBuilt, {
      cwd: rootDir,
      env: { ...process.env, PORT: "0", DATA_DIR: folder },
      stdio: ["ignore", "pipe", "inherit"],
    });
    await once(first.stdout, "data");
    expectOneLine(startUntilEnd({ DATA_DIR: folder }), /Another Wedgewright works in the data folder/);
    first.kill("SIGKILL");
    await once(first, "close");
    const after = spawn(process.execPath, startBuilt, {
      cwd: rootDir,
      env: { ...process.env, PORT: "0", DATA_DIR: folder },
      stdio: ["ignore", "pipe", "inherit"],
    });
    const [words] = (await once(after.stdout, "data")) as [Buffer];
    expect(words.toString()).toContain("ready");
    after.kill("SIGTERM");
    await once(after, "close");
  });

  it("when Node is too old", () => {
    const old =
      `data:text/javascript,Object.defineProperty(process, "versions", { value: { ...process.versions, node: ` +
      `"18.19.0" } })`;
    expectOneLine(
      startUntilEnd({}, ["--import", old, join(rootDir, "src", "launch.mjs"), "start"]),
      /needs Node 20 or newer; this is 18\.19\.0/,
    );
  });

  it("when the task is unknown", () => {
    expectOneLine(startUntilEnd({}, [join(rootDir, "src", "launch.mjs"), "dance"]), /Unknown task "dance"/);
  });
});

describe("a start that succeeds", () => {
  it("for the whole network (HOST=0.0.0.0) is as shut to strangers as the switch is", async () => {
    const child = spawn(process.execPath, startBuilt, {
      cwd: rootDir,
      env: { ...process.env, PORT: "0", HOST: "0.0.0.0", DATA_DIR: temporaryFolder() },
      stdio: ["ignore", "pipe", "inherit"],
    });
    const [chunk] = (await once(child.stdout, "data")) as [Buffer];
    const port = /http:\/\/0\.0\.0\.0:(\d+)/.exec(chunk.toString())?.[1];
    const address = `http://127.0.0.1:${port}/api/lamps`;
    expect((await fetch(address)).status).toBe(200);
    // Somebody else's request, as a proxy on this machine hands it on.
    const carried = await fetch(address, { headers: { "X-Forwarded-For": "127.0.0.1" } });
    expect(carried.status).toBe(401);
    expect(await carried.json()).toMatchObject({ code: "device-unknown" });
    child.kill("SIGTERM");
    const [code] = (await once(child, "close")) as [number | null];
    expect(code).toBe(0);
  });

  it("with phones (npm run studio) says where they come in, or that there is no network", async () => {
    const child = spawn(
      process.execPath,
      startBuilt.map((each) => each.replace("demo: false", "demo: false, phones: true")),
      {
        cwd: rootDir,
        env: { ...process.env, PORT: "0", DATA_DIR: temporaryFolder() },
        stdio: ["ignore", "pipe", "inherit"],
      },
    );
    let said = "";
    child.stdout.on("data", (chunk: Buffer) => (said += chunk.toString()));
    while (!/network/.test(said)) await once(child.stdout, "data");
    expect(said).toMatch(/with the code [2-9A-Z]{4}-[2-9A-Z]{4}, once within|no address in a local network/);
    child.kill("SIGTERM");
    await once(child, "close");
  });

  it.each(["SIGTERM", "SIGINT"] as const)("prints its address, answers, and ends in order on %s", async (signal) => {
    const child = spawn(process.execPath, startBuilt, {
      cwd: rootDir,
      env: { ...process.env, PORT: "0", DATA_DIR: temporaryFolder(), NODE_ENV: "production" },
      stdio: ["ignore", "pipe", "inherit"],
    });
    const [chunk] = (await once(child.stdout, "data")) as [Buffer];
    const address = /http:\/\/127\.0\.0\.1:\d+/.exec(chunk.toString())?.[0];
    const answer = await fetch(`${address}/api/health`);
    expect(await answer.json()).toMatchObject({ ok: true });
    child.kill(signal);
    const [code] = (await once(child, "close")) as [number | null];
    expect(code).toBe(0);
  });
});
