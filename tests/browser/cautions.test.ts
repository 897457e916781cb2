// On a phone, what can hurt is said within one screen of where it is done: light, baths, peroxide, the sun.
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { Browser, Page } from "playwright-core";
import { temporaryFolder } from "../support/temporary-folder.ts";
import { chromiumPath, launchChromium } from "./chromium.ts";
import { serveApp, type TestServer } from "./serve.ts";

const executablePath = chromiumPath();
const screen = { width: 390, height: 844 };
const materials = {
  lampId: "sample-lamp-box-one",
  supportId: "sample-support-rag",
  coatingId: "sample-coating-two-part",
  filmId: "sample-film-clear",
};
const combination = new URLSearchParams(materials).toString();
const place = "city=Amsterdam&date=2026-06-20&time=13:10&anchor=test:sample-test-sun-test&chosen=yes";

/** A page, and what is done there. */
const acts = [
  ["/", "a print begun from the board", "main > #board .actions .button"],
  ["/tests/sample-test-scan-on-paper", "the time of a test", ".result .answer"],
  ["/tests/sample-test-scan-on-paper", "a print begun from a test", ".result-actions .button"],
  ["/tests/sample-test-scan-on-paper/large", "the time for wet hands", ".answer"],
  [`/exposures?${combination}`, "a time looked up", ".answer"],
  ["/studio/boxes/sample-lamp-box-one", "the time of a box", ".print-card-step"],
  [`/boxes?${combination}`, "boxes side by side", ".table-scroll"],
  [`/prints/new?${combination}`, "a run sheet made", ".button.large"],
  ["PRINT", "each step of a run sheet", ".run-step:not(:last-child) .actions"],
  ["/prints", "a step begun from the log", ".print-card-step button"],
  ["/first-test?light=sample-lamp-box-one", "the first test's time", ".answer"],
  ["/first-test?light=sample-lamp-box-one", "the list to tick off", ".tick-list"],
  [`/sun?${place}`, "a time in the sun", ".answer"],
  [`/sun/frames?${place}`, "a frame carried out", ".start-frame .button"],
  ["/evenness", "a sheet exposed for its evenness", "main ol"],
  ["/evenness?kind=tablets", "tablets exposed across the bed", "main ol"],
  ["/sheets", "a wedge sheet exposed and washed", "ol.walk li:nth-child(5)"],
  ["/sheets/inks", "an ink sheet exposed and washed", "ol.walk li:nth-child(3)"],
  ["/objects", "a thing exposed", "main ol"],
  ["/studio/shelf", "a recipe weighed", ".columns .card"],
  ["/studio/coatings/sample-coating-two-part", "a recipe scaled", ".filters .button"],
  ["/studio/coatings/sample-coating-two-part", "the baths of a coating", ".steps-of-procedure"],
] as const;

describe.skipIf(executablePath === undefined)("on a phone, cautions", { timeout: 60_000 }, () => {
  let server: TestServer;
  let browser: Browser;
  let page: Page;
  let print = "";

  beforeAll(async () => {
    server = await serveApp(temporaryFolder());
    await fetch(`${server.address}/api/samples`, { method: "POST" });
    const made = await fetch(`${server.address}/api/prints`, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ ...materials, exposureSeconds: 480 }),
    });
    ({ id: print } = (await made.json()) as { id: string });
    browser = await launchChromium(executablePath ?? "");
    page = await (await browser.newContext({ viewport: screen })).newPage();
  }, 60_000);

  afterAll(async () => {
    await browser?.close();
    await server?.close();
  });

  it.each(acts)("of %s stand within a screen of %s", async (path, _act, selector) => {
    const answer = await page.goto(server.address + (path === "PRINT" ? `/prints/${print}` : path));
    expect(answer?.status()).toBe(200);
    const ways = (await page.evaluate(`(() => {
      const seen = (element) => element.checkVisibility();
      const boxes = (selector) => [...document.querySelectorAll(selector)].filter(seen)
        .map((element) => element.getBoundingClientRect());
      const cautions = boxes(".caution-line, .cautions li");
      return boxes(${JSON.stringify(selector)}).map((act) => Math.round(Math.min(...cautions.map((caution) =>
        Math.max(caution.top - act.bottom, act.top - caution.bottom, 0) + caution.height))));
    })()`)) as number[];
    expect(ways.length).toBeGreaterThan(0);
    console.log(`${path} ${selector}: ${ways.join(", ")} px`);
    expect(Math.max(...ways)).toBeLessThanOrEqual(screen.height);
  });
});
