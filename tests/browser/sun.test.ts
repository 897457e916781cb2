// The day planner and the dose clock in a real browser, on a June day in Lisbon whatever day it is outside.
import { createRequire } from "node:module";
import { afterAll, beforeAll, beforeEach, describe, expect, it, vi } from "vitest";
import type { Browser, BrowserContext, Page } from "playwright-core";
import { saveSunTest } from "../support/studios/sun-tests.ts";
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
    // Node's own header tells the real hour, which the page would take for a clock that is months off: here it tells
    // none.
    await context.route("**/api/health", (route) => route.fulfill({ json: { ok: true } }));
    page = await context.newPage();
    vi.useFakeTimers({ toFake: ["Date"], now: afternoon });
    await page.clock.install({ time: afternoon - 1000 });
    await page.clock.pauseAt(afternoon);
    const kept = await fetch(`${server.address}/api/sun/frames`);
    for (const { id } of (await kept.json()) as { id: string }[])
      await fetch(`${server.address}/api/sun/frames/${id}`, { method: "DELETE" });
  });

  afterAll(async () => {
    vi.useRealTimers();
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

  /** The clock of the server goes along with the page's. */
  async function pass(ms: number): Promise<void> {
    vi.setSystemTime(Date.now() + ms);
    await page.clock.fastForward(ms);
  }

  /** Puts a frame out that moment, scaled by the newest sun test. */
  async function putOut(name: string): Promise<void> {
    await page.goto(`${server.address}/sun/frames?city=Lisbon`);
    await page.fill("#frame-name", name);
    await page.click("text=The frame is out: start");
    await page.waitForSelector(`[data-frame] >> text=${name}`);
    // The script has begun.
    await page.waitForSelector("[data-call-page]:not([hidden])");
  }
  const card = (name: string) => page.locator("[data-frame]", { hasText: name });
  const face = (name: string, part: string): Promise<string> => card(name).locator(`[data-face="${part}"]`).innerText();

  it("with a city chosen, plans the day with a time, two plots and a table", async () => {
    await page.goto(`${server.address}/sun`);
    await page.fill("#city", "lisb");
    // The list is asked for when no key has come for a moment.
    await page.clock.runFor(300);
    await page.click("[data-place-choices] >> text=Lisbon, Lisboa, Portugal");
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

  it("several frames count side by side, also after a reload and a sleep, and call when one is due", async () => {
    await putOut("Fern");
    await pass(60_000);
    expect(await face("Fern", "shareWords")).toMatch(/^2[2-5] %/);
    await putOut("Lace");
    await page.goto("about:blank");
    await pass(61_000);
    await page.goto(`${server.address}/sun/frames`);
    expect(await face("Fern", "shareWords")).toMatch(/^4[5-9] %/);
    expect(await face("Lace", "shareWords")).toMatch(/^2[2-5] %/);
    await pass(150_000);
    await pass(2000);
    expect(await face("Fern", "main")).toBe("Now");
    expect(await card("Fern").getAttribute("data-state")).toBe("due");
    expect(await page.locator("[data-frame-status]").textContent()).toContain("Fern has had its light");
    expect(await page.title()).toContain("Bring in Fern");
    expect(await axeFindings()).toEqual([]);
    expect(await tooWide()).toBe(0);
  });

  it("while the sun is hidden, counts less; a press too many can be taken back", async () => {
    await putOut("Fern");
    await pass(60_000);
    await card("Fern").locator(".sun-switch").click();
    await page.waitForSelector('.sun-switch[aria-pressed="true"]');
    await pass(60_000);
    await pass(1000);
    expect(await face("Fern", "range")).toMatch(/if it stays hidden: in at \d\d:\d\d/);
    // A quarter of the light by the free minute, and 0.45 of a quarter by the hidden one.
    expect(await face("Fern", "shareWords")).toMatch(/^3[2-6] %/);
    await card("Fern").locator(".sun-switch").click();
    await page.waitForSelector('.sun-switch[aria-pressed="false"]');
    await card("Fern").locator("summary", { hasText: "Set it right" }).click();
    await card("Fern").getByRole("button", { name: 'Take back the last "sun hidden"' }).click();
    await expect.poll(() => server.store.sunFrames.list()[0]?.hidden.length).toBe(0);
    await pass(1000);
    expect(await face("Fern", "shareWords")).toMatch(/^4[5-9] %/);
    // What was folded open is open still, though the frames were shown anew meanwhile.
    const setRight = card("Fern").locator("details", { hasText: "Set it right" });
    expect(await setRight.evaluate((fold) => fold.hasAttribute("open"))).toBe(true);
  });

  it("while the network is away, keeps presses with their times and sends them when it is back", async () => {
    await putOut("Fern");
    await pass(60_000);
    await context.setOffline(true);
    await card("Fern").locator(".sun-switch").click();
    await page.waitForSelector("[data-untold]:not([hidden])");
    await page.waitForSelector('.sun-switch[aria-pressed="true"]');
    await pass(60_000);
    await context.setOffline(false);
    await pass(6000);
    await expect.poll(() => server.store.sunFrames.list()[0]?.hidden[0]?.fromAt).toMatch(/T15:11:0\d/);
    await page.waitForSelector("[data-untold]", { state: "hidden" });
  });

  it("a frame put out on one device appears on another, and its judged print becomes an anchor", async () => {
    await page.goto(`${server.address}/sun/frames`);
    const other = await context.newPage();
    await other.goto(`${server.address}/sun/frames?city=Lisbon`);
    await other.fill("#frame-name", "Moss");
    await other.click("text=The frame is out: start");
    await page.bringToFront();
    await page.clock.resume();
    await card("Moss").waitFor();
    vi.setSystemTime(Date.now() + 240_000);
    await page.reload();
    await card("Moss").getByRole("button", { name: "It is in: stop" }).click();
    await expect.poll(() => server.store.sunFrames.list()[0]?.endedAt).not.toBeNull();
    await page.goto(`${server.address}/sun/frames`);
    await card("Moss").locator("summary", { hasText: "Judge" }).click();
    expect(await axeFindings()).toEqual([]);
    await card("Moss").locator('input[name="neededStops"][value="0.5"]').check();
    await card("Moss").getByRole("button", { name: "Keep as an anchor" }).click();
    await page.waitForSelector("#judged-heading");
    expect(server.store.sunAnchors.list()[0]).toMatchObject({ name: "Moss", neededStops: 0.5, latitude: 38.72 });
  });
});
