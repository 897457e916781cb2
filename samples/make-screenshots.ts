// Renews the picture of the README from the samples: npx tsx samples/make-screenshot.ts (needs Chromium, and npm run
// build before)
import { mkdirSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { rootDir } from "#src/settings.ts";
import { chromiumPath, launchChromium } from "../tests/browser/chromium.ts";
import { serveApp } from "../tests/browser/serve.ts";

const executablePath = chromiumPath();
if (executablePath === undefined) process.exit(1);
const dataDir = mkdtempSync(join(tmpdir(), "wedgewright-picture-"));
const server = await serveApp(dataDir);
const browser = await launchChromium(executablePath);
try {
  await fetch(`${server.address}/api/samples`, { method: "POST" });
  const page = await browser.newPage({ viewport: { width: 1000, height: 1560 } });
  // The stream of changes would keep the network from ever resting.
  await page.route("**/live*", (route) => route.fulfill({ status: 204 }));
  await page.goto(`${server.address}/tests/sample-test-scan-on-paper`, { waitUntil: "networkidle" });
  const folder = join(rootDir, "docs", "images");
  mkdirSync(folder, { recursive: true });
  await page.screenshot({ path: join(folder, "result.png") });
} finally {
  await browser.close();
  await server.close();
  rmSync(dataDir, { recursive: true, force: true });
}
