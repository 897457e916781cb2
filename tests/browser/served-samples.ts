// The invented samples, served, and Chromium to look at them, for all tests of one `describe`.
import { afterAll, beforeAll } from "vitest";
import type { Browser } from "playwright-core";
import { temporaryFolder } from "../support/temporary-folder.ts";
import { chromiumPath, launchChromium } from "./chromium.ts";
import { serveApp, type TestServer } from "./serve.ts";

export interface ServedSamples {
  readonly server: TestServer;
  readonly browser: Browser;
}

/** Both are started before the first test of the `describe` that calls this, and closed after its last. */
export function servedSamples(): ServedSamples {
  let server: TestServer;
  let browser: Browser;
  beforeAll(async () => {
    server = await serveApp(temporaryFolder());
    await fetch(`${server.address}/api/samples`, { method: "POST" });
    browser = await launchChromium(chromiumPath() ?? "");
  });
  afterAll(async () => {
    await browser?.close();
    await server?.close();
  });
  return {
    get server() {
      return server;
    },
    get browser() {
      return browser;
    },
  };
}
