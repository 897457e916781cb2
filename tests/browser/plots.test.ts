// A plot tells its figures: to a pointer, to a finger on the phone, and to the arrow keys.
import { describe, expect, it } from "vitest";
import type { Page } from "playwright-core";
import { chromiumPath } from "./chromium.ts";
import { servedSamples } from "./served-samples.ts";

const executablePath = chromiumPath();
const compared = "/comparisons?testId=sample-test-scan-on-paper&testId=sample-test-cotton";

describe.skipIf(executablePath === undefined)("a plot of two curves", { timeout: 60_000 }, () => {
  const studio = servedSamples();

  async function opened(width: number, hasTouch = false): Promise<Page> {
    const page = await (await studio.browser.newContext({ viewport: { width, height: 844 }, hasTouch })).newPage();
    await page.goto(studio.server.address + compared);
    return page;
  }
  const told = (page: Page): Promise<string> => page.locator("[data-plot-reading]").innerText();

  it("says the figures of the point under the pointer, and rings it", async () => {
    const page = await opened(1280);
    const drawing = page.locator(".plot-still.wide");
    expect(await drawing.isVisible()).toBe(true);
    const marker = drawing.locator(".look-2.plot-line .plot-path");
    const { x, y, width } = (await marker.boundingBox())!;
    await page.mouse.move(x + width - 1, y + 2);
    expect(await told(page)).toMatch(/cotton/);
    expect(await told(page)).toMatch(/\d\.\d\d/);
    const ring = (await drawing.locator(".plot-chosen").boundingBox())!;
    expect(Math.abs(ring.x + ring.width / 2 - (x + width))).toBeLessThan(20);
    await page.context().close();
  });

  it("on a phone is drawn for the narrow screen, in letters that can be read, and answers a finger", async () => {
    const page = await opened(390, true);
    expect(await page.locator(".plot-still.wide").isVisible()).toBe(false);
    const drawing = page.locator(".plot-still.narrow");
    const { x, y, width, height } = (await drawing.boundingBox())!;
    // Letters of 15 units in a drawing of 400: at least 11 pixels high.
    expect((15 * width) / 400).toBeGreaterThan(11);
    await page.touchscreen.tap(x + width * 0.7, y + height * 0.5);
    expect(await told(page)).toMatch(/\d/);
    expect(await page.evaluate("document.documentElement.scrollWidth")).toBe(390);
    await page.context().close();
  });

  it("is walked by the arrow keys, along a curve and to the next one", async () => {
    const page = await opened(1280);
    await page.locator(".plot-still.wide").focus();
    await page.keyboard.press("ArrowRight");
    const first = await told(page);
    expect(first).toMatch(/rag paper/);
    await page.keyboard.press("ArrowRight");
    expect(await told(page)).not.toBe(first);
    for (let press = 0; press < 3; press++) await page.keyboard.press("ArrowDown");
    expect(await told(page)).toMatch(/cotton/);
    await page.context().close();
  });
});
