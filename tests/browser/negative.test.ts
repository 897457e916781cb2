// The next negative in a real browser: preview, crop, making with progress; and the plain form without script.
import { createRequire } from "node:module";
import { readFile } from "node:fs/promises";
import sharp from "sharp";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { Browser, Page } from "playwright-core";
import { saveLevelsTest } from "../support/studios/levels-test.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";
import { chromiumPath, launchChromium } from "./chromium.ts";
import { serveApp, type TestServer } from "./serve.ts";

const executablePath = chromiumPath();
const axeFile = createRequire(import.meta.url).resolve("axe-core/axe.min.js");
const patience = 90_000;

/** A ramp from black on the left to white on the right. */
const photo = {
  name: "ramp.png",
  mimeType: "image/png",
  buffer: await sharp(
    Uint8Array.from({ length: 256 * 128 * 3 }, (_, index) => Math.floor(index / 3) % 256),
    { raw: { width: 256, height: 128, channels: 3 } },
  )
    .png()
    .toBuffer(),
};

/** Mean red, green and blue of a canvas' left and right tenth. */
async function endsOf(page: Page, name: string): Promise<{ left: number[]; right: number[]; width: number }> {
  return page.evaluate(`(() => {
    const canvas = document.querySelector("[${name}]");
    const mean = (x) => {
      const data = canvas.getContext("2d").getImageData(x, 0, Math.ceil(canvas.width / 10), canvas.height).data;
      const sums = [0, 0, 0];
      for (let i = 0; i < data.length; i++) if (i % 4 < 3) sums[i % 4] += data[i];
      return sums.map((sum) => sum / (data.length / 4));
    };
    return { left: mean(0), right: mean(canvas.width - Math.ceil(canvas.width / 10)), width: canvas.width };
  })()`);
}

describe.skipIf(executablePath === undefined)("the page that makes a negative", () => {
  let server: TestServer;
  let browser: Browser;
  let testId = "";

  beforeAll(async () => {
    server = await serveApp(temporaryFolder());
    testId = (await saveLevelsTest(server.store)).id;
    browser = await launchChromium(executablePath ?? "");
  }, patience);

  afterAll(async () => {
    await browser?.close();
    await server?.close();
  });

  it(
    "shows positive, film and print, follows crop and choices, and makes the file with progress",
    { timeout: patience },
    async () => {
      const context = await browser.newContext({
        viewport: { width: 390, height: 844 },
        bypassCSP: true,
        acceptDownloads: true,
      });
      const page = await context.newPage();
      const errors: string[] = [];
      page.on("pageerror", (error) => errors.push(error.message));
      await page.goto(`${server.address}/negatives`);
      await page.getByRole("link", { name: /Make a negative with/ }).click();
      await page.setInputFiles("#photo", photo);
      await page.locator("[data-preview]").waitFor({ state: "visible" });
      await expect.poll(async () => (await endsOf(page, "data-print")).width).toBe(256);

      const positive = await endsOf(page, "data-positive");
      expect(positive.left[0]!).toBeLessThan(positive.right[0]! - 150);
      // Mirrored and inverted: the film's left end belongs to the picture's white right end, and is dense.
      const film = await endsOf(page, "data-negative");
      expect(film.left[0]!).toBeLessThan(film.right[0]! - 100);
      const print = await endsOf(page, "data-print");
      expect(print.right[0]!).toBeGreaterThan(230);
      expect(print.left[2]!).toBeGreaterThan(print.left[0]! + 40);
      await page.uncheck("input[name=mirror]");
      await expect.poll(async () => (await endsOf(page, "data-negative")).left[0]!).toBeGreaterThan(150);
      await page.check("input[name=mirror]");

      await page.locator("details", { hasText: "From the left" }).locator("summary").click();
      await page.fill("#cropLeft", "50");
      await expect.poll(async () => (await endsOf(page, "data-print")).width).toBe(128);
      await page.locator("details", { hasText: "Another size" }).locator("summary").click();
      await page.fill("#filmWidthMm", "100");
      await page.fill("#filmHeightMm", "100");
      await expect.poll(() => page.locator("[data-size-words]").textContent()).toMatch(/180 × 180 mm.*sheets/);
      await page.fill("#filmWidthMm", "");
      await page.fill("#filmHeightMm", "");
      await page.selectOption("#filmSize", "a4");
      await expect
        .poll(() => page.locator("[data-size-words]").textContent())
        .toMatch(/one sheet of (210 × 297|297 × 210) mm film/);
      await page.selectOption("#filmSize", "");

      // A window of the file's own pixels, drawn by the server.
      await page.getByRole("button", { name: "pixel for pixel" }).click();
      await page.locator("[data-exact-film]").waitFor({ state: "visible", timeout: patience });
      await expect
        .poll(() => page.evaluate("document.querySelector('[data-exact-film]').naturalWidth"), { timeout: patience })
        .toBe(480);

      await page.addScriptTag({ path: axeFile });
      expect(
        await page.evaluate(
          "axe.run(document, { resultTypes: ['violations'] }).then((result) => result.violations.map((each) => " +
            "each.id + ' ' + each.nodes[0].html.slice(0, 120)))",
        ),
      ).toEqual([]);
      expect(await page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")).toBe(
        0,
      );

      await page.fill("#widthMm", "40");
      await page.selectOption("#format", "png");
      await page.getByRole("button", { name: "Make the negative" }).click();
      await page.locator("[data-done]").waitFor({ state: "visible", timeout: patience });
      const [download] = await Promise.all([page.waitForEvent("download"), page.locator("[data-file]").click()]);
      expect(download.suggestedFilename()).toMatch(/^negative-.*\.png$/);
      const margin = Math.round((10 / 25.4) * 300);
      const meta = await sharp(await readFile(await download.path())).metadata();
      expect([meta.width, meta.density]).toEqual([Math.round((40 / 25.4) * 300) + 2 * margin, 300]);

      // A picture that the browser cannot open is shown by the server.
      await page.setInputFiles("#photo", {
        name: "ramp.tif",
        mimeType: "image/tiff",
        buffer: await sharp(photo.buffer).toColourspace("rgb16").tiff().toBuffer(),
      });
      await expect.poll(async () => (await endsOf(page, "data-positive")).width, { timeout: patience }).toBe(256);
      expect(await page.locator("[data-no-preview]").isHidden()).toBe(true);

      await page.fill("#widthMm", "600");
      await page.fill("#dpi", "600");
      await page.getByRole("button", { name: "Make the negative" }).click();
      await page.getByRole("button", { name: "Cancel" }).click();
      await expect
        .poll(() => page.getByRole("button", { name: "Make the negative" }).isEnabled(), { timeout: patience })
        .toBe(true);
      expect(await page.locator("[data-trouble]").isHidden()).toBe(true);
      expect(errors).toEqual([]);
      await context.close();
    },
  );

  it(
    "without script, is a form that answers with the file, and asks again with what was typed when something is wrong",
    { timeout: patience },
    async () => {
      const context = await browser.newContext({ javaScriptEnabled: false, acceptDownloads: true });
      const page = await context.newPage();
      await page.goto(`${server.address}/negatives/new?testId=${testId}`);
      await page.setInputFiles("#photo", photo);
      await page.fill("#widthMm", "50");
      await page.locator("details", { hasText: "Another size" }).locator("summary").click();
      await page.fill("#filmWidthMm", "31");
      await page.fill("#filmHeightMm", "31");
      await page.getByRole("button", { name: "Make the negative" }).click();
      expect(await page.locator("#filmWidthMm-error").textContent()).toMatch(/film is too small/);
      expect(await page.inputValue("#widthMm")).toBe("50");
      await page.fill("#filmWidthMm", "");
      await page.fill("#filmHeightMm", "");
      await page.setInputFiles("#photo", photo);
      const [download] = await Promise.all([
        page.waitForEvent("download"),
        page.getByRole("button", { name: "Make the negative" }).click(),
      ]);
      expect(download.suggestedFilename()).toMatch(/\.pdf$/);
      expect((await readFile(await download.path())).subarray(0, 5).toString()).toBe("%PDF-");
      await context.close();
    },
  );
});
