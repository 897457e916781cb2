// Every page that can be reached by links: nothing sticks out at phone and desktop width, nothing in the console, no
// accessibility rule broken: at both widths in the light, in the dark and in the darkroom.
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { Browser, Page } from "playwright-core";
import { temporaryFolder } from "../support/temporary-folder.ts";
import { chromiumPath, launchChromium } from "./chromium.ts";
import { fillStudio } from "./fill-studio.ts";
import {
  axeFindings,
  findingsOfColours,
  furtherThemes,
  mostPageBytes,
  pageBytes,
  type Finding,
} from "./page-checks.ts";
import { serveApp, type TestServer } from "./serve.ts";

const executablePath = chromiumPath();

/** Addresses that answer with something other than a page. */
const noPage =
  /^\/(api|pictures|scripts|styles|icons)\/|\.(pdf|png|svg|csv|icc|txt|json|html)(\?|$)|[?&]as=(svg|png|csv)/;
/** Most pages visited, so that a page that links without end is found out. */
const mostPages = 60;

/**
 * One address for all records of a kind: ids do not make a new page, nor do queries other than those that the crawl
 * begins with.
 */
function kindOf(path: string): string {
  const bare = path.split("?")[0] ?? "";
  if (bare.startsWith("/help/")) return bare === "/help/terms" ? bare : "/help/:page";
  return bare.replaceAll(/\/[\w-]{12}(?=\/|$)/g, "/:id");
}

describe.skipIf(executablePath === undefined)("every page", () => {
  let server: TestServer;
  let browser: Browser;
  let page: Page;
  const consoleErrors: Finding[] = [];
  const tooWide: Finding[] = [];
  const heavy: Finding[] = [];
  const broken: Finding[] = [];
  const failed: Finding[] = [];
  let looks = 0;
  const visited = new Map<string, string>();

  /** Opens a page at both widths, keeps what is wrong with it, and gives the pages that it links to. */
  async function look(path: string): Promise<string[]> {
    await page.setViewportSize({ width: 1280, height: 900 });
    const response = await page.goto(server.address + path, { waitUntil: "load" });
    if ((response?.status() ?? 0) >= 400 && path !== "/no-such-page")
      failed.push({ path, what: String(response?.status()) });
    if (!/html/.test(response?.headers()["content-type"] ?? "")) return [];
    const bytes = await pageBytes(page);
    if (bytes > mostPageBytes) heavy.push({ path, what: `${bytes} bytes` });
    for (const width of [1280, 390]) {
      await page.setViewportSize({ width, height: 844 });
      const extra = Number(
        await page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth"),
      );
      if (extra > 0) tooWide.push({ path, what: `${extra} px at ${width}` });
      const place = `${path} at ${width} px`;
      broken.push(...(await axeFindings(page, place)), ...(await findingsOfColours(page, place)));
      looks += 1 + furtherThemes.length;
    }
    const links = (await page.evaluate(
      "[...document.querySelectorAll('a[href]')].map((link) => link.href)",
    )) as string[];
    return links
      .filter((link) => link.startsWith(server.address))
      .map((link) => link.slice(server.address.length).split("#")[0] ?? "/")
      .filter((link) => link !== "" && !noPage.test(link));
  }

  beforeAll(async () => {
    server = await serveApp(temporaryFolder());
    const [paper = "", cotton = ""] = await fillStudio(server.address, [
      "scan-on-paper",
      "cotton",
      "under-exposed",
      "grey-levels",
    ]);
    browser = await launchChromium(executablePath ?? "");
    const context = await browser.newContext({ bypassCSP: true, reducedMotion: "reduce" });
    page = await context.newPage();
    page.on("console", (message) => {
      if (message.type() === "error" && !/status of 4\d\d/.test(message.text()))
        consoleErrors.push({ path: page.url(), what: message.text() });
    });
    page.on("pageerror", (error) => consoleErrors.push({ path: page.url(), what: error.message }));
    const waiting = ["/", `/comparisons?testId=${paper}&testId=${cotton}`, "/no-such-page"];
    const begun = new Set(waiting);
    while (waiting.length > 0 && visited.size < mostPages) {
      const path = waiting.shift() ?? "/";
      if (visited.has(kindOf(path)) && !begun.delete(path)) continue;
      visited.set(kindOf(path), path);
      waiting.push(...(await look(path)));
    }
  }, 400_000);

  afterAll(async () => {
    await browser?.close();
    await server?.close();
  });

  it("is reached by links, and none of the links is dead", () => {
    expect(failed).toEqual([]);
    expect(visited.size).toBeGreaterThan(12);
    expect(visited.size).toBeLessThan(mostPages);
  });

  it("breaks no accessibility rule, in the light, in the dark and in the darkroom", () => {
    console.log(`axe asked ${looks} times: ${visited.size} addresses, two widths, three sets of colours`);
    expect(broken).toEqual([]);
  });

  it("weighs at most 300 kB without its pictures", () => {
    expect(heavy).toEqual([]);
  });

  it("fits the phone and the desktop", () => {
    expect(tooWide).toEqual([]);
  });

  it("leaves nothing in the console", () => {
    expect(consoleErrors).toEqual([]);
  });
});
