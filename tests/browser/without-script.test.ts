// The same answers with script switched off: plain forms, corners as numbers, the plot as a still picture.
import sharp from "sharp";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { Browser, Page } from "playwright-core";
import { blueprintDensities, stripFile, type StripPicture } from "../support/pictures/strip-picture.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";
import { chromiumPath, launchChromium } from "./chromium.ts";
import { serveApp, type TestServer } from "./serve.ts";

const executablePath = chromiumPath();
const strip: StripPicture = {
  width: 900,
  height: 360,
  corners: [
    [100, 120],
    [800, 120],
    [800, 240],
    [100, 240],
  ],
  densities: blueprintDensities,
};

describe.skipIf(executablePath === undefined)("without script", () => {
  let server: TestServer;
  let browser: Browser;
  let page: Page;

  beforeAll(async () => {
    server = await serveApp(temporaryFolder());
    browser = await launchChromium(executablePath ?? "");
    page = await (
      await browser.newContext({ javaScriptEnabled: false, viewport: { width: 1280, height: 900 } })
    ).newPage();
  });

  afterAll(async () => {
    await browser?.close();
    await server?.close();
  });

  async function sendTest(buffer: Buffer): Promise<void> {
    await page.goto(`${server.address}/tests/new`);
    // What is as last time is folded, and in it what names another.
    for (const id of ["lampId", "supportId", "coatingId"]) {
      const folded = page.locator(`details:not([open]):has(#${id}-new) > summary`);
      while ((await folded.count()) > 0) await folded.first().click();
    }
    await page.setInputFiles("#photo", { name: "strip.png", mimeType: "image/png", buffer });
    await page.fill("#lampId-new", "Box");
    await page.fill("#supportId-new", "Paper");
    await page.fill("#coatingId-new", "Blue");
    await page.fill("#exposure-minutes", "15");
    await page.getByRole("button", { name: "Read the picture" }).click();
  }

  it("a form that misses something says what, and keeps picture and words", async () => {
    await page.goto(`${server.address}/tests/new`);
    await page.setInputFiles("#photo", { name: "strip.png", mimeType: "image/png", buffer: await stripFile(strip) });
    await page.fill("#lampId-new", "Box");
    // A first coating has a name; who takes it away is asked for one.
    await page.fill("#coatingId-new", "");
    await page.fill("#exposure-minutes", "15");
    await page.getByRole("button", { name: "Read the picture" }).click();
    const alert = await page.getByRole("alert").first().innerText();
    expect(alert).toContain("2 things need another look");
    expect(await page.locator("#lampId-new").inputValue()).toBe("Box");
    expect(await page.locator('input[name="pictureId"]').inputValue()).toMatch(/^[0-9a-f]{64}$/);
    expect(server.store.lamps.list()).toEqual([]);
  });

  it("a picture becomes a time, with the curve as a still picture", async () => {
    await sendTest(await stripFile(strip));
    expect(await page.locator(".answer-time").innerText()).toMatch(/\d+:\d\d/);
    expect(await page.locator(".curve-drawing.wide").isVisible()).toBe(true);
    expect(await page.locator(".curve-drawing.wide .plot-points .plot-marker").count()).toBe(21);
  });

  it("corners are typed as numbers when the tablet is not found", async () => {
    const blank = await sharp({ create: { width: 900, height: 360, channels: 3, background: "#d8d4cc" } })
      .png()
      .toBuffer();
    await sendTest(blank);
    expect(await page.getByRole("heading", { level: 1 }).innerText()).toBe("Where is the tablet?");
    expect(await page.locator(".step-box").count()).toBe(21);
    const numbers = [100, 120, 800, 120, 800, 240, 100, 240];
    for (const [index, number] of numbers.entries())
      await page.fill(`[name="corners.${Math.floor(index / 2)}.${index % 2}"]`, String(number));
    await page.getByRole("button", { name: "Read the picture here" }).click();
    // A blank sheet holds no curve, and the page says so in words; nothing is lost either way.
    expect(await page.getByRole("heading", { level: 1 }).innerText()).not.toBe("");
    expect(
      server.store.tests
        .list()
        .tests.map((test) => test.exposure.verdict)
        .filter((verdict) => verdict === "ok"),
    ).toHaveLength(1);
  });

  it("corners of a saved test are changed", async () => {
    const [test] = server.store.tests.list({ verdict: "ok" }).tests;
    await page.goto(`${server.address}/tests/${test?.id}/corners`);
    await page.fill('[name="corners.0.0"]', "101");
    await page.getByRole("button", { name: "Keep these corners" }).click();
    expect(server.store.tests.get(test?.id ?? "").request.corners?.[0]?.[0]).toBe(101);
  });
});
