// A newcomer who reads only the README: its exact lines in an empty folder, on nothing but Node, to a first own answer.
import { spawn } from "node:child_process";
import { cpSync, existsSync, readFileSync } from "node:fs";
import { setTimeout } from "node:timers/promises";
import { dirname, join, relative, sep } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { rootDir } from "#src/settings.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";

const readme = readFileSync(join(rootDir, "README.md"), "utf8");
/** What a download does not hold. */
const notDownloaded = new Set(["node_modules", ".git", ".build", ".bench", "data", "coverage"]);

/** The indented lines under a heading, without what is said behind them. */
function linesUnder(heading: string): string[] {
  const section = readme.split(/^## /m).find((each) => each.startsWith(heading)) ?? "";
  return [...section.matchAll(/^ {4}(\S.*?)(?: +#.*)?$/gm)].map(([, line = ""]) => line);
}

describe("the README", { timeout: 400_000 }, () => {
  const folder = join(temporaryFolder(), "wedgewright");
  let address = "";
  let end = (): void => undefined;

  beforeAll(async () => {
    cpSync(rootDir, folder, {
      recursive: true,
      filter: (path) =>
        !notDownloaded.has(relative(rootDir, path).split(sep)[0] ?? "") && !path.endsWith(join("static", "scripts")),
    });
    const [start = ""] = linesUnder("Two commands");
    expect(start).toBe("npm start");
    // A bare machine: Node and the system's own programs. The port is any free one, since others may run here.
    const child = spawn(start, {
      shell: true,
      cwd: folder,
      detached: true,
      stdio: ["ignore", "pipe", "inherit"],
      env: {
        PATH: [dirname(process.execPath), "/usr/local/bin", "/usr/bin", "/bin"].join(":"),
        HOME: process.env["HOME"] ?? folder,
        PORT: "0",
        npm_config_prefer_offline: "true",
      },
    });
    end = () => {
      if (child.pid !== undefined && child.exitCode === null) process.kill(-child.pid, "SIGTERM");
    };
    let said = "";
    child.stdout.setEncoding("utf8").on("data", (text: string) => (said += text));
    while (!/ready at http:\S+/.test(said) && child.exitCode === null) await setTimeout(200);
    address = /ready at (http:\S+)/.exec(said)?.[1] ?? "";
  }, 400_000);

  afterAll(() => end());

  it("leads by its first line to the first page, in a folder that had nothing installed", async () => {
    const page = await (await fetch(address, { headers: { accept: "text/html" } })).text();
    expect(page).toContain("I have a test print: read it");
    expect(existsSync(join(folder, "data", "wedgewright.db"))).toBe(true);
  });

  it("leads on to the first own answer", async () => {
    const form = new FormData();
    const picture = readFileSync(join(folder, "samples", "pictures", "scan-on-paper.jpg"));
    form.append("photo", new Blob([picture]), "print.jpg");
    const typed = {
      tabletChoice: "even-21",
      newLampName: "My box",
      newSupportName: "My paper",
      newCoatingName: "My mix",
      exposureMinutes: "30",
      dry: "yes",
      oxidised: "yes",
    };
    for (const [name, value] of Object.entries(typed)) form.append(name, value);
    const answer = await fetch(`${address}/tests/new`, { method: "POST", body: form });
    expect(answer.status).toBe(200);
    expect(answer.url).toMatch(/\/tests\/[\w-]+$/);
    expect(await answer.text()).toMatch(/class="answer-time[^>]*>[^<]*<span[^>]*>\d+:\d\d/);
  });

  it("names start files that are there, and says in at most seven lines what to do without a terminal", () => {
    const [steps = ""] = readme.split("### Never used a terminal?")[1]?.split(/^## /m) ?? [];
    const named = [...steps.matchAll(/`(start-[\w.]+)`/g)].map(([, name = ""]) => name);
    expect(named).toHaveLength(3);
    for (const name of named) expect(existsSync(join(folder, "src", "start", name)), name).toBe(true);
    expect([...steps.matchAll(/^\d\. /gm)].length).toBeLessThanOrEqual(7);
  });
});
