// Bundles the imaging worker before any test asks for it.
import { spawnSync } from "node:child_process";
import { join } from "node:path";
import { rootDir } from "#src/settings.ts";

export default function buildOnce(): void {
  const result = spawnSync(process.execPath, [join(rootDir, "src", "build.mjs")], { stdio: "inherit" });
  if (result.status !== 0) throw new Error("The build fails.");
}
