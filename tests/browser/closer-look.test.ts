// "Look closer": a plot drawn large by the chart library, which no page fetches before somebody asks.
import { describe, expect, it } from "vitest";
import type { Locator, Page } from "playwright-core";
import { chromiumPath } from "./chromium.ts";
import { axeFindings } from "./page-checks.ts";
import { servedSamples } from "./served-samples.ts";

const executablePath = chromiumPath();
const result = "/tests/sample-test-scan-on-paper";

describe.skipIf(executablePath === undefined)("a closer look at a plot", { timeout: 60_000 }, () => {
  const studio = servedSamples();

  interface Opened {
    readonly page: Page;
    /** Addresses of the scripts that were asked for so far. */
    readonly scripts: string[];
    /** What stands in the console as an error, such as what the content policy refuses. */
    readonly errors: string[];
  }

  async function opened(path: string, options: { width: number; bypassCSP?: boolean }): Promise<Opened> {
    const { width, bypassCSP = false } = options;
    const page = await (await studio.browser.newContext({ viewport: { width, height: 844 }, bypassCSP })).newPage();
    const scripts: string[] = [];
    const errors: string[] = [];
    page.on("request", (request) => request.resourceType() === "script" && scripts.push(request.url()));
    page.on("console", (message) => message.type() === "error" && errors.push(message.text()));
    page.on("pageerror", (error) => errors.push(error.message));
    await page.goto(studio.server.address + path, { waitUntil: "networkidle" });
    return { page, scripts, errors };
  }

  async function pressed(page: Page): Promise<void> {
    await page
      .getByRole("button", { name: /^Look closer/ })
      .first()
      .click();
    await page.getByRole("dialog").waitFor();
  }

  const slider = (page: Page, name: string): Locator => page.getByRole("slider", { name });
  const drawn = (page: Page): Promise<string> =>
    page.evaluate("document.querySelector('dialog canvas').toDataURL()") as Promise<string>;
  /** How many colours the canvas shows; one when it is blank. */
  const colourCount = (page: Page): Promise<number> =>
    page.evaluate(`(() => {
      const canvas = document.querySelector("dialog canvas");
      const { data } = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height);
      return new Set(new Uint32Array(data.buffer)).size;
    })()`) as Promise<number>;

  it("fetches the chart library at the press, not before, and draws under the page's content policy", async () => {
    const { page, scripts, errors } = await opened(result, { width: 1280 });
    expect(scripts.filter((address) => /closer-look|chart/.test(address))).toEqual([]);
    const button = page.getByRole("button", { name: /^Look closer ?: Characteristic curve$/ });
    expect((await button.boundingBox())!.height).toBeGreaterThanOrEqual(44);
    await pressed(page);
    expect(scripts.filter((address) => address.includes("/scripts/closer-look"))).toHaveLength(1);
    expect(await page.getByRole("dialog", { name: "Characteristic curve" }).isVisible()).toBe(true);
    expect(await colourCount(page)).toBeGreaterThan(8);
    expect(errors).toEqual([]);
    await page.context().close();
  });

  it("shows the stretch between two sliders, says it in times of exposure, and goes back to the whole", async () => {
    const { page } = await opened(result, { width: 1280 });
    await pressed(page);
    const told = page.getByRole("dialog").getByRole("status");
    const [whole, wholeWords] = [await drawn(page), await told.innerText()];
    expect(wholeWords).toMatch(/^Shown: log H -?\d.* in clear light$/);
    await slider(page, "From").fill("80");
    await slider(page, "To").fill("140");
    expect(await drawn(page)).not.toBe(whole);
    expect(await told.innerText()).not.toBe(wholeWords);
    expect(await page.getByRole("dialog").getByRole("img").getAttribute("aria-label")).toContain(
      (await told.innerText()).replace("Shown: ", ""),
    );
    // One end never passes the other.
    await slider(page, "From").fill("200");
    expect(Number(await slider(page, "From").inputValue())).toBeLessThan(140);
    await page.getByRole("button", { name: "Whole plot" }).click();
    expect(await told.innerText()).toBe(wholeWords);
    expect(await drawn(page)).toBe(whole);
    await page.context().close();
  });

  it("hides a series, and of curves over each other what belongs to it", async () => {
    const { page } = await opened("/comparisons?testId=sample-test-scan-on-paper&testId=sample-test-cotton", {
      width: 390,
    });
    await pressed(page);
    const both = await drawn(page);
    const boxes = page.getByRole("dialog").getByRole("checkbox");
    expect(await boxes.count()).toBe(2);
    await boxes.first().uncheck();
    const one = await drawn(page);
    expect(one).not.toBe(both);
    await boxes.nth(1).uncheck();
    expect([both, one]).not.toContain(await drawn(page));
    expect(await page.evaluate("document.documentElement.scrollWidth")).toBe(390);
    await page.context().close();
  });

  it("closes by Escape and by its button, and gives the focus back", async () => {
    const { page } = await opened(result, { width: 390 });
    const focused = (): Promise<unknown> => page.evaluate("document.activeElement.hasAttribute('data-look-closer')");
    for (const leave of [
      () => page.keyboard.press("Escape"),
      () => page.getByRole("button", { name: "Close", exact: true }).click(),
    ]) {
      await pressed(page);
      expect(await focused()).toBe(false);
      await leave();
      await page.getByRole("dialog").waitFor({ state: "detached" });
      expect(await focused()).toBe(true);
    }
    await page.context().close();
  });

  it.each(["light", "dark", "darkroom"])("breaks no accessibility rule while it is open: %s", async (theme) => {
    const { page } = await opened(result, { width: 1280, bypassCSP: true });
    await page.evaluate(`document.documentElement.dataset.theme = "${theme}"`);
    await pressed(page);
    expect(await axeFindings(page, theme)).toEqual([]);
    await page.context().close();
  });

  it("offers no button where script is off", async () => {
    const page = await (await studio.browser.newContext({ javaScriptEnabled: false })).newPage();
    await page.goto(studio.server.address + result);
    expect(await page.locator("[data-look-closer]").count()).toBe(1);
    expect(await page.locator("[data-look-closer]").isVisible()).toBe(false);
    await page.context().close();
  });
});
