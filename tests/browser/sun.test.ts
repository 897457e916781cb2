// The day planner and the dose clock in a real browser, on a June day in Lisbon whatever day it is outside.
import { createRequire } from "node:module";
import { afterAll, beforeAll, beforeEach, describe, expect, it } from "vitest";
import type { Browser, BrowserContext, Page } from "playwright-core";
import { saveSunTest } from "../support/sun-tests.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";
import { chromiumPath, launchChromium } from "./chromium.ts";
import { serveApp, type TestServer } from "./serve.ts";

const executablePath = chromiumPath();
const axeFile = createRequire(import.meta.url).resolve("axe-core/axe.min.js");
const afternoon = Date.parse("2026-06-14T15:10:00+01:00");
/** The same moment as the pages' addresses write it. */
const then = "city=Lisbon&date=2026-06-14&time=15:10";

describe.skipIf(executablePath === undefined)("the sun's pages", { timeout: 60_000 }, () => {
  let server: TestServer;
  let browser: Browser;
  let context: BrowserContext;
  let page: Page;

  beforeAll(async () => {
    server = await serveApp(temporaryFolder());
    await saveSunTest(server.store);
    browser = await launchChromium(executablePath ?? "");
  }, 60_000);

  beforeEach(async () => {
    await context?.close();
    context = await browser.newContext({
      bypassCSP: true,
      viewport: { width: 390, height: 844 },
      timezoneId: "Europe/Lisbon",
    });
    page = await context.newPage();
    await page.clock.install({ time: afternoon - 1000 });
    await page.clock.pauseAt(afternoon);
  });

  afterAll(async () => {
    await browser?.close();
    await server?.close();
  });

  async function axeFindings(): Promise<string[]> {
    await page.clock.resume(); // it waits on timers of its own
    await page.addScriptTag({ path: axeFile });
    return (await page.evaluate(
      'axe.run(document, { resultTypes: ["violations"] }).then((result) => result.violations.map((each) => ' +
        'each.id + ": " + each.nodes.map((node) => node.html.slice(0, 120)).join(" | ")))',
    )) as string[];
  }

  /** Text as it is seen. */
  const seen = (selector: string): Promise<string> => page.locator(selector).innerText();
  const tooWide = (): Promise<unknown> =>
    page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth");

  /** Opens the clock of a plan for that moment, scaled by the newest sun test. */
  async function openClock(): Promise<void> {
    await page.goto(`${server.address}/sun/clock?${then}`);
    await page.waitForSelector("[data-clock-idle]:not([hidden])");
  }

  it("with a city chosen, plans the day with a time, two plots and a table", async () => {
    await page.goto(`${server.address}/sun`);
    await page.selectOption("#city", "Lisbon");
    expect(await page.inputValue("#latitude")).toBe("38.72");
    expect(await page.inputValue("#time-zone")).toBe("Europe/Lisbon");
    await page.fill("#date", "2026-06-14");
    await page.fill("#time", "15:10");
    await page.click("text=Show the day");
    // 240 s at 13:30 four days before; a little more an hour and forty minutes later.
    expect(await seen(".answer-time [aria-hidden]")).toMatch(/^4:\d\d$/);
    expect(await page.locator("figure.plot").count()).toBe(2);
    expect(await page.locator(".hours tbody tr").count()).toBe(15);
    expect(await axeFindings()).toEqual([]);
    expect(await tooWide()).toBe(0);
    await page.setViewportSize({ width: 1280, height: 900 });
    expect(await tooWide()).toBe(0);
  });

  it("when no print is chosen to scale by, shows strength and how to make a first test, never a time", async () => {
    await page.goto(`${server.address}/sun?${then}&chosen=yes`);
    expect(await page.locator(".answer-time").count()).toBe(0);
    expect(await page.locator("figure.plot").count()).toBe(1);
    expect(await seen("main")).toContain("Your first test in the sun");
  });

  it("when the frame goes out, counts up and says when to bring it in, also after a reload and a sleep", async () => {
    await openClock();
    expect(await seen("[data-clock-main]")).toMatch(/^4:\d\d$/);
    await page.click("[data-clock-start]");
    await page.clock.fastForward(60_000);
    expect(await seen("[data-clock-share]")).toMatch(/^2[2-5] %/);
    await page.reload();
    expect(await seen("[data-clock-share]")).toMatch(/^2[2-5] %/);
    await page.goto("about:blank");
    await page.clock.fastForward(61_000);
    await page.goto(`${server.address}/sun/clock`);
    expect(await seen("[data-clock-share]")).toMatch(/^4[5-9] %/);
    await page.clock.fastForward(180_000);
    expect(await seen("[data-clock-main]")).toBe("Now");
    expect(await page.getAttribute("[data-clock-face]", "data-state")).toBe("due");
    expect(await axeFindings()).toEqual([]);
  });

  it("while the sun is hidden, counts less and widens the range; a press too many can be taken back", async () => {
    await openClock();
    await page.click("[data-clock-start]");
    await page.clock.fastForward(60_000);
    const end = async (): Promise<string> => (/at (\d\d:\d\d)/.exec(await seen("[data-clock-label]")) ?? [])[1] ?? "";
    const freeEnd = await end();
    await page.click("[data-clock-hide]");
    expect(await page.getAttribute("[data-clock-hide]", "aria-pressed")).toBe("true");
    await page.clock.fastForward(60_000);
    const hiddenEnd = /if it stays hidden: in at (\d\d:\d\d)/.exec(await seen("[data-clock-range]"))?.[1] ?? "";
    expect(hiddenEnd > freeEnd).toBe(true);
    // A quarter of the light by the free minute, and 0.45 of a quarter by the hidden one.
    expect(await seen("[data-clock-share]")).toMatch(/^3[2-6] %/);
    await page.click("[data-clock-hide]");
    expect(await page.getAttribute("[data-clock-hide]", "aria-pressed")).toBe("false");
    expect(await seen("[data-clock-log]")).toContain("1:00");
    await page.click("[data-clock-undo]");
    expect(await seen("[data-clock-share]")).toMatch(/^4[5-9] %/);
    expect(await tooWide()).toBe(0);
  });

  it("when the frame is in and the print judged, keeps the exposure as an anchor", async () => {
    await openClock();
    await page.click("[data-clock-start]");
    await page.clock.fastForward(240_000);
    await page.click("[data-clock-stop]");
    expect(await axeFindings()).toEqual([]);
    await page.check('input[name="neededStops"][value="0.5"]');
    await page.click("text=Keep as an anchor");
    await page.waitForURL("**/sun");
    const [kept] = server.store.sunAnchors.list();
    expect(kept).toMatchObject({
      neededStops: 0.5,
      latitude: 38.72,
      startedAt: "2026-06-14T15:10:00+01:00",
      sky: "clear",
    });
    expect(Date.parse(kept?.endedAt ?? "") - Date.parse(kept?.startedAt ?? "")).toBe(240_000);
    expect(await seen("main")).toContain(kept?.name ?? "no anchor");
    await page.goto(`${server.address}/sun/clock`);
    expect(await page.locator("[data-clock-none]").isVisible()).toBe(true);
  });
});
