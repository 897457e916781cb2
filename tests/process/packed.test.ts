// The packed program in an empty folder, as `npx` runs it: installed from its tarball, started, asked, stopped.
import { execFileSync, spawn } from "node:child_process";
import { once } from "node:events";
import { existsSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { rootDir } from "#src/settings.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";

const npm = process.platform === "win32" ? "npm.cmd" : "npm";

describe("the packed program", () => {
  it("starts in an empty folder and keeps its data there", { timeout: 300_000 }, async () => {
    const folder = temporaryFolder();
    const packed = JSON.parse(
      execFileSync(npm, ["pack", "--json", "--pack-destination", folder], { cwd: rootDir, encoding: "utf8" }),
    ) as [{ filename: string; files: { path: string }[] }];
    expect(packed[0].files.map(({ path }) => path)).toEqual(expect.arrayContaining(["src/launch.mjs", "LICENSE"]));
    execFileSync(
      npm,
      ["install", "--prefer-offline", "--omit=dev", "--no-audit", "--no-fund", "--loglevel=error", packed[0].filename],
      { cwd: folder },
    );
    const environment = { ...process.env, PORT: "0" };
    delete (environment as NodeJS.ProcessEnv).DATA_DIR;
    const program = join(folder, "node_modules", "wedgewright", "src", "launch.mjs");
    const child = spawn(process.execPath, [program], {
      cwd: folder,
      env: environment,
      stdio: ["ignore", "pipe", "inherit"],
    });
    try {
      let said = "";
      child.stdout.setEncoding("utf8").on("data", (text: string) => (said += text));
      await expect.poll(() => /ready at (http:\S+)/.exec(said)?.[1], { timeout: 60_000 }).toBeDefined();
      const address = /ready at (http:\S+)/.exec(said)?.[1] ?? "";
      const health = (await (await fetch(`${address}/api/health`)).json()) as { ok: boolean };
      expect(health.ok).toBe(true);
      const page = await (await fetch(address, { headers: { Accept: "text/html" } })).text();
      expect(page).toContain("I have a UV box");
      expect((await fetch(`${address}/scripts/site.js`)).status).toBe(200);
      expect(existsSync(join(folder, "wedgewright-data", "wedgewright.db"))).toBe(true);
    } finally {
      child.kill("SIGTERM");
      await once(child, "exit");
    }
  });
});
