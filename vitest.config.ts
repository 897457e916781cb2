import { defineConfig } from "vitest/config";

/**
 * What measures memory, kills processes, drives a browser or wears out a worker: each file in a process of its own. All
 * others share one load of the program's modules; loading it for each took a third of the whole run.
 */
const alone = ["browser", "imaging", "process", "trials"].map((folder) => `tests/${folder}/**/*.test.ts`);
const all = "tests/**/*.test.ts";

export default defineConfig({
  test: {
    globalSetup: ["tests/support/build-once.ts"],
    testTimeout: 90_000,
    hookTimeout: 240_000,
    // Many files wait for a browser or another process: one worker more than the two cores of a small machine.
    maxWorkers: 3,
    reporters: ["default"],
    projects: [
      { extends: true, test: { name: "alone", include: alone } },
      { extends: true, test: { name: "together", include: [all], exclude: alone, isolate: false } },
    ],
  },
});
