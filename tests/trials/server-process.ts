// The built server as a process of its own, which a trial may kill.
import { spawn, type ChildProcess } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { rootDir } from "#src/settings.ts";

export interface ServerProcess {
  readonly address: string;
  readonly child: ChildProcess;
  /** From the start of the process to its word that it is ready [s]. */
  readonly startSeconds: number;
  /** What it wrote on standard error. */
  errors(): string;
  /** Resident memory now and at its highest [MB]; 0 where the system does not tell. */
  memoryMb(): { now: number; most: number };
  /** Ends it, by a signal, and waits until it is gone. */
  end(signal: "SIGKILL" | "SIGTERM"): Promise<number | null>;
}

/** Starts the server on a free port, and does not wait for it; what it needs must have been built. */
export function spawnServer(
  dataDir: string,
  temporaryDir: string,
): { child: ChildProcess; gone: Promise<number | null>; end: ServerProcess["end"] } {
  const main = join(rootDir, ".build", "main.mjs");
  // A file, not an --eval: workers inherit the options of their process.
  const starter = join(temporaryDir, "start.mjs");
  writeFileSync(starter, `import { start } from ${JSON.stringify(main)}; await start({ demo: false });`);
  const child = spawn(process.execPath, [starter], {
    cwd: rootDir,
    env: {
      ...process.env,
      PORT: "0",
      HOST: "127.0.0.1",
      DATA_DIR: dataDir,
      TMPDIR: temporaryDir,
      NODE_ENV: "production",
    },
    stdio: ["ignore", "pipe", "pipe"],
  });
  const gone = new Promise<number | null>((resolve) => child.once("close", resolve));
  return {
    child,
    gone,
    end(signal) {
      child.kill(signal);
      return gone;
    },
  };
}

/** Starts the server and waits until it is ready. */
export async function startServerProcess(dataDir: string, temporaryDir: string): Promise<ServerProcess> {
  const begun = performance.now();
  const { child, gone, end } = spawnServer(dataDir, temporaryDir);
  let errors = "";
  child.stderr?.setEncoding("utf8").on("data", (chunk: string) => (errors += chunk));
  const address = await new Promise<string>((resolve, reject) => {
    child.stdout?.setEncoding("utf8").on("data", (chunk: string) => {
      const found = /http:\/\/127\.0\.0\.1:\d+/.exec(chunk)?.[0];
      if (found !== undefined) resolve(found);
    });
    void gone.then((code) => reject(new Error(`The server ended with ${code} before it was ready: ${errors}`)));
  });
  return {
    address,
    child,
    startSeconds: (performance.now() - begun) / 1000,
    errors: () => errors,
    memoryMb() {
      try {
        const status = readFileSync(`/proc/${child.pid}/status`, "utf8");
        const of = (name: string): number => Number(new RegExp(`${name}:\\s+(\\d+)`).exec(status)?.[1] ?? 0) / 1024;
        return { now: of("VmRSS"), most: of("VmHWM") };
      } catch {
        return { now: 0, most: 0 };
      }
    },
    end,
  };
}

/** Numbers of the command line, such as `--seed 7`, over their defaults. */
export function numbersFrom<Name extends string>(defaults: Readonly<Record<Name, number>>): Record<Name, number> {
  const given: Record<Name, number> = { ...defaults };
  for (const name of Object.keys(defaults) as Name[]) {
    const at = process.argv.indexOf(`--${name}`);
    if (at === -1) continue;
    const value = Number(process.argv[at + 1]);
    if (!Number.isFinite(value) || value < 0) throw new RangeError(`--${name} needs a number.`);
    given[name] = value;
  }
  return given;
}
