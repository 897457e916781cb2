import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    globalSetup: ["tests/support/build-once.ts"],
    include: ["tests/**/*.test.ts"],
    testTimeout: 90_000,
    hookTimeout: 240_000,
    maxWorkers: 2,
    reporters: ["default"],
  },
});
