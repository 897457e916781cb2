// One journey from the first page to an answer, as a person makes it, in a real browser.
import { join } from "node:path";
import sharp from "sharp";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { Browser, Page } from "playwright-core";
import { rootDir } from "#src/settings.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";
import { chromiumPath, launchChromium } from "./chromium.ts";
import { serveApp, type TestServer } from "./serve.ts";

const executablePath = chromiumPath();
const scan = join(rootDir, "samples", "pictures", "scan-on-paper.jpg");

describe.skipIf(executablePath === undefined)("the way from the first page to an answer", () => {
  let server: TestServer;
  let browser: Browser;
  let page: Page;
  const consoleErrors: string[] = [];

  beforeAll(async () => {
    server = await serveApp(temporaryFolder());
    browser = await launchChromium(executablePath ?? "");
    page = await browser.newPage({ viewport: { width: 390, height: 844 } });
    page.on("console", (message) => {
      // A 422 that the page answers in words is logged by Chromium all the same.
      if (message.type() === "error" && !/status of 4\d\d/.test(message.text())) consoleErrors.push(message.text());
    });
    page.on("pageerror", (error) => consoleErrors.push(error.message));
  });

  afterAll(async () => {
    await browser?.close();
    await server?.close();
  });

  async function fillTest(picture: string | { name: string; mimeType: string; buffer: Buffer }): Promise<void> {
    await page.setInputFiles("#photo", picture);
    await page.check('input[name="tabletChoice"][value="even-21"]');
    await page.fill("#lampId-new", "Box on the bench");
    await page.fill("#supportId-new", "Rag paper");
    await page.fill("#coatingId-new", "Two-part blue");
    await page.fill("#exposure-minutes", "30");
    await page.fill("#exposure-seconds", "0");
  }

  it("leads from the first page over the form to a time in large type", async () => {
    await page.goto(server.address);
    await page.getByRole("link", { name: "I have a test print: read it" }).click();
    await fillTest(scan);
    await page.getByRole("button", { name: "Read the picture" }).click();
    await page.waitForURL(/\/tests\/(?!new)[\w-]+$/);
    const time = await page.locator(".answer-time").innerText();
    expect(time).toMatch(/\d+:\d\d/);
    expect(await page.locator(".answer-range").innerText()).toContain("95 of 100 times");
    const drawing = page.locator(".curve-drawing.narrow");
    expect(await drawing.locator(".strip-edge").count()).toBe(21);
    const reading = page.locator("[data-curve-reading]");
    await expect
      .poll(async () => {
        await drawing.press("ArrowLeft");
        return reading.innerText();
      })
      .toMatch(/^Step 21: density/);
    expect(await page.locator(".steps tbody tr").count()).toBe(21);
    expect(server.store.tests.count()).toBe(1);
    expect(server.store.lamps.list().map((lamp) => lamp.name)).toEqual(["Box on the bench"]);
  });

  it("measures anew while a handle is moved by keyboard, and takes the move back", async () => {
    await page.getByRole("link", { name: "Adjust corners" }).click();
    await page.waitForSelector(".corner-handle");
    const corner = async (): Promise<number[]> =>
      Promise.all([0, 1].map(async (axis) => Number(await page.locator(`[name="corners.1.${axis}"]`).inputValue())));
    const before = await corner();
    const moved = async (): Promise<number> => {
      const [x, y] = await corner();
      return Math.hypot(x! - before[0]!, y! - before[1]!);
    };
    await page.getByRole("slider", { name: /Corner 2/ }).focus();
    await page.keyboard.press("Shift+ArrowLeft");
    await page.keyboard.press("ArrowLeft");
    // The strip lies level, so that an arrow moves along it, whichever way it lies in the picture.
    expect(await moved()).toBeGreaterThan(20.8);
    expect(await moved()).toBeLessThan(21.2);
    await page.waitForResponse(/\/readings$/);
    await page.locator("[data-live-state]").getByText("21 steps measured").waitFor();
    await page.keyboard.press("Control+z");
    await page.keyboard.press("Control+z");
    expect(await moved()).toBeLessThan(0.15);
  });

  it("says while the corners lie wrong what is wrong with their place, and nothing once they are right", async () => {
    const doubts = page.locator("[data-live-doubts]");
    await page.getByRole("button", { name: "Step 1 at the other end" }).click();
    await doubts.getByText("step 1 should be the darkest").waitFor();
    expect(await page.locator("[data-live-state]").innerText()).toContain("21 steps measured");
    await page.getByRole("button", { name: "Undo" }).click();
    await doubts.waitFor({ state: "hidden" });
    await page.getByRole("button", { name: "Turn a quarter" }).click();
    await page.locator("[data-live-problem]").getByText("begun at another corner").waitFor();
    await page.getByRole("button", { name: "Undo" }).click();
    await page.locator("[data-live-state]").getByText("21 steps measured").waitFor();
  });

  it("moves a handle by mouse under a loupe, and keeps the corners that were saved", async () => {
    const handle = page.getByRole("slider", { name: /Corner 3/ });
    await handle.scrollIntoViewIfNeeded();
    const box = await handle.boundingBox();
    if (box === null) throw new Error("The handle is nowhere.");
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
    await page.mouse.down();
    await page.mouse.move(box.x + box.width / 2 + 3, box.y + box.height / 2 + 3);
    expect(await page.locator("[data-loupe]").isVisible()).toBe(true);
    await page.mouse.up();
    expect(await page.locator("[data-loupe]").isVisible()).toBe(false);
    const wanted = Number(await page.locator('[name="corners.2.0"]').inputValue());
    await page.getByRole("button", { name: "Keep these corners" }).click();
    await page.waitForURL(/\/tests\/[\w-]+$/);
    const [test] = server.store.tests.list().tests;
    const corners = server.store.tests.get(test?.id ?? "").request.corners;
    expect(corners?.[2]?.[0]).toBeCloseTo(wanted, 1);
  });

  it("keeps pictures and words when no tablet is found, and asks for the corners", async () => {
    const blank = await sharp({ create: { width: 900, height: 600, channels: 3, background: "#d8d4cc" } })
      .jpeg()
      .toBuffer();
    await page.goto(`${server.address}/tests/new`);
    // Light, paper and tablet of the last test are folded, and said.
    const [tablet, madeWith] = [page.locator(".tablet-fold"), page.locator("details.step:has(#lampId)")];
    expect(await tablet.locator("[data-says]").innerText()).toBe("Film tablet, 21 steps");
    expect(await madeWith.locator("[data-says]").innerText()).toBe("Box on the bench, Rag paper, Two-part blue");
    await tablet.locator("> summary").click();
    await madeWith.locator("> summary").click();
    await page.getByText("Add another light").click();
    await page.getByText("Add another paper or fabric").click();
    await page.getByText("Add another coating").click();
    await fillTest({ name: "blank.jpg", mimeType: "image/jpeg", buffer: blank });
    await page.getByText("More about this test").click();
    await page.fill("#notes", "kept word for word");
    // Every picture is looked at when it is chosen, not when the form is sent.
    const pdf = { name: "scan.pdf", mimeType: "application/pdf", buffer: Buffer.from("%PDF-1.7 of a scan") };
    const again = { name: "again.jpg", mimeType: "image/jpeg", buffer: blank };
    await page.setInputFiles("#furtherPhoto", [again, pdf]);
    await page.getByText("scan.pdf: This is a PDF.").waitFor();
    await page.setInputFiles("#evenLight", { name: "sheet.jpg", mimeType: "image/jpeg", buffer: Buffer.alloc(0) });
    await page.getByText("The file is empty.").waitFor();
    await page.getByRole("button", { name: "Read the picture" }).click();
    expect(await page.locator("[data-upload-error]").innerText()).toMatch(/The file is empty|This is a PDF/);
    await page.setInputFiles("#furtherPhoto", [again]);
    await page.setInputFiles("#evenLight", { name: "sheet.jpg", mimeType: "image/jpeg", buffer: blank });
    await page.getByRole("button", { name: "Read the picture" }).click();
    await page.getByRole("heading", { name: "Where is the tablet?" }).waitFor();
    await page.getByText("Tap corner 1 of 4").waitFor();
    expect(await page.locator('input[name="notes"]').inputValue()).toBe("kept word for word");
    for (const name of ["pictureId", "furtherPictureId.0", "evenLightPictureId"])
      expect(await page.locator(`input[name="${name}"]`).inputValue()).toMatch(/^[0-9a-f]{64}$/);
    expect(server.store.lamps.list()).toHaveLength(1);
    expect(server.store.tests.count()).toBe(1);
  });

  it("takes four taps for the corners, then shows the strip level with its handles apart", async () => {
    const stage = await page.locator("[data-stage]").boundingBox();
    if (stage === null) throw new Error("The stage is nowhere.");
    const taps = [
      [0.3, 0.8],
      [0.6, 0.2],
      [0.65, 0.22],
      [0.35, 0.82],
    ] as const;
    for (const [x, y] of taps) await page.mouse.click(stage.x + x * stage.width, stage.y + y * stage.height);
    await page.waitForSelector(".corner-handle");
    const picture = { width: 900, height: 600 };
    const scale = Math.min(stage.width / picture.width, stage.height / picture.height);
    const left = (stage.width - picture.width * scale) / 2;
    const across = Number(await page.locator('[name="corners.1.0"]').inputValue());
    expect(Math.abs(across - (0.6 * stage.width - left) / scale)).toBeLessThan(2 / scale);
    const boxes = await Promise.all(
      [0, 1, 2, 3, 4].map((index) => page.locator(`[data-handle="${index}"]`).boundingBox()),
    );
    const middles = boxes.map((box) => [box!.x + box!.width / 2, box!.y + box!.height / 2] as const);
    middles.forEach((one, i) =>
      middles.slice(0, i).forEach((other) => {
        expect(Math.hypot(one[0] - other[0], one[1] - other[1])).toBeGreaterThan(boxes[0]!.width);
      }),
    );
    // Level: the first two corners' handles stand at one height, the first one at the left.
    expect(Math.abs(middles[0]![1] - middles[1]![1])).toBeLessThan(12);
    expect(middles[0]![0]).toBeLessThan(middles[1]![0]);
  });

  it("deletes a test after asking", async () => {
    await page.goto(`${server.address}/tests`);
    await page.locator(".test-card a").first().click();
    await page.getByText("More", { exact: true }).click();
    await page.getByRole("link", { name: "Delete" }).click();
    await page.getByRole("button", { name: "Delete" }).click();
    await page.getByText("No test yet").waitFor();
    expect(server.store.tests.count()).toBe(0);
  });

  it("left nothing in the console on the way", () => {
    expect(consoleErrors).toEqual([]);
  });
});
