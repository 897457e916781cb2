// Weight, first paint and processor time of the pages, each loaded anew with nothing kept:
// npm run bench:pages -- [loads]. The clock of a shared machine is no test; processor time says what a page costs
// whoever else is at work, and a bare page, loaded in the same run, what this machine takes for three words. All
// weights are held by a test (every-page.test.ts).
import { mkdtempSync, rmSync } from "node:fs";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { CDPSession } from "playwright-core";
import { median } from "#shared/statistics/robust.ts";
import { chromiumPath, launchChromium } from "./chromium.ts";
import { mostPageBytes, pageBytes } from "./page-checks.ts";
import { serveApp } from "./serve.ts";

const loads = Number(process.argv[2] ?? 5);
/** Goal for the first paint [ms]. */
const mostPaintMs = 300;

/** A new window is busy with itself at first; a printmaker's stands open already [ms]. */
const settleMs = 400;

const barePage = "<!doctype html><title>Bare</title><link rel='icon' href='data:,'><p>A bare page";

const test = "/tests/sample-test-scan-on-paper";
const combination = "supportId=sample-support-rag&coatingId=sample-coating-two-part&filmId=sample-film-clear";
const paths = [
  "/",
  "/tests",
  test,
  `${test}/corners`,
  `${test}/large`,
  "/tests/new",
  "/first-test",
  "/prints",
  "/prints/new",
  `/exposures?lampId=sample-lamp-box-one&${combination}`,
  "/comparisons?testId=sample-test-scan-on-paper&testId=sample-test-cotton",
  "/sun",
  "/sun?city=Amsterdam&date=2026-06-20&time=13:10&anchor=test:sample-test-sun-test&chosen=yes",
  "/negatives",
  "/negatives/new?testId=sample-test-grey-levels",
  "/tests/sample-test-grey-levels/correction",
  "/sheets",
  "/studio",
  "/studio/boxes/sample-lamp-box-one",
  "/evenness",
  "/materials",
  "/tablets",
  "/help",
  "/help/terms",
  "/parts",
];

/** Processor time that the answer of an address takes, all threads of the server together [ms]. */
async function serverMs(address: string): Promise<number> {
  const before = process.cpuUsage();
  await (await fetch(address, { headers: { accept: "text/html" } })).text();
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1000;
}

/** Processor time of a page's own thread, from its first byte until it was loaded [ms]. */
async function pageThreadMs(session: CDPSession): Promise<number> {
  const { metrics } = await session.send("Performance.getMetrics");
  return 1000 * (metrics.find(({ name }) => name === "TaskDuration")?.value ?? Number.NaN);
}

const paintCount = "performance.getEntriesByName('first-contentful-paint').length";

const executablePath = chromiumPath();
if (executablePath === undefined) process.exit(1);
const dataDir = mkdtempSync(join(tmpdir(), "wedgewright-weights-"));
const server = await serveApp(dataDir);
const bare = createServer((_request, response) => {
  response.setHeader("content-type", "text/html");
  response.end(barePage);
});
await new Promise<void>((resolve) => bare.listen(0, "127.0.0.1", resolve));
const bareAddress = `http://127.0.0.1:${(bare.address() as AddressInfo).port}/`;
const addresses = [
  { name: "a bare page", address: bareAddress },
  ...paths.map((path) => ({ name: path.split("?")[0] ?? path, address: server.address + path })),
];
const browser = await launchChromium(executablePath);
try {
  await fetch(`${server.address}/api/samples`, { method: "POST" });
  console.log(`n = ${loads} loads of each page, nothing kept from one to the next; first contentful paint`);
  const heads = ["kB", "server", "page", "paint ms", "worst ms"].map((head) => head.padStart(9));
  console.log(`${"page; server and page: processor ms".padEnd(42)} ${heads.join(" ")}`);
  let over = 0;
  for (const { name, address } of addresses) {
    const [paints, threads, servers]: [number[], number[], number[]] = [[], [], []];
    for (let load = 0; load < loads; load++) servers.push(await serverMs(address));
    let bytes = 0;
    for (let load = 0; load < loads; load++) {
      const context = await browser.newContext({ viewport: { width: 1280, height: 800 } });
      const page = await context.newPage();
      const session = await context.newCDPSession(page);
      await session.send("Performance.enable", { timeDomain: "threadTicks" });
      await page.waitForTimeout(settleMs);
      await page.goto(address, { waitUntil: "load" });
      while (Number(await page.evaluate(paintCount)) === 0) await page.waitForTimeout(20);
      paints.push(Number(await page.evaluate("performance.getEntriesByName('first-contentful-paint')[0].startTime")));
      bytes = await pageBytes(page);
      threads.push(await pageThreadMs(session));
      await context.close();
    }
    const isOver = bytes > mostPageBytes || median(paints) > mostPaintMs;
    if (isOver) over++;
    const cells = [bytes / 1000, median(servers), median(threads), median(paints), Math.max(...paints)];
    console.log(
      `${name.padEnd(42)} ${cells.map((cell) => cell.toFixed(0).padStart(9)).join(" ")}${isOver ? " OVER" : ""}`,
    );
  }
  console.log(`${over} of ${paths.length} pages over ${mostPageBytes / 1000} kB or ${mostPaintMs} ms`);
} finally {
  await browser.close();
  await server.close();
  bare.close();
  rmSync(dataDir, { recursive: true, force: true });
}
