// Two devices at once: what one saves, the other shows without being loaded anew, and nobody's writing is lost.
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { Browser, BrowserContext, Page } from "playwright-core";
import {
  sampleTestRecord,
  savePicture,
  saveSampleMaterials,
  type SampleMaterials,
} from "../support/studios/sample-records.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";
import { chromiumPath, launchChromium } from "./chromium.ts";
import { serveApp, type TestServer } from "./serve.ts";

const executablePath = chromiumPath();

describe.skipIf(executablePath === undefined)("two devices", () => {
  let server: TestServer;
  let browser: Browser;
  let desk: Page;
  let phone: Page;
  let contexts: BrowserContext[];
  let materials: SampleMaterials;
  const errors: string[] = [];

  beforeAll(async () => {
    server = await serveApp(temporaryFolder());
    materials = saveSampleMaterials(server.store);
    browser = await launchChromium(executablePath!);
    contexts = [await browser.newContext(), await browser.newContext({ viewport: { width: 390, height: 844 } })];
    [desk, phone] = (await Promise.all(contexts.map((context) => context.newPage()))) as [Page, Page];
    for (const page of [desk, phone]) {
      page.on("console", (message) => {
        // The stand-in picture of a test is none.
        if (message.type() === "error" && !message.text().includes("415")) errors.push(message.text());
      });
      page.on("pageerror", (error) => errors.push(error.message));
    }
  });
  afterAll(async () => {
    await browser?.close();
    await server?.close();
  });

  async function beginPrint(page: Page, name: string): Promise<string> {
    const answer = await page.request.post(`${server.address}/api/prints`, {
      data: { ...materials, name, exposureSeconds: 600 },
    });
    return ((await answer.json()) as { id: string }).id;
  }

  it("the desk's lists show what the phone saves, at once and without a reload", async () => {
    await desk.goto(`${server.address}/prints`);
    await desk.evaluate("window.sameDocument = true");
    await beginPrint(phone, "Fern from the phone");
    await desk.getByRole("link", { name: "Fern from the phone" }).waitFor({ timeout: 3000 });
    await desk.goto(`${server.address}/tests`);
    await desk.evaluate("window.sameDocument = true");
    const pictureId = await savePicture(server.store);
    const { id } = server.store.transaction(() => server.store.tests.save(sampleTestRecord(materials, pictureId)));
    await desk.locator(`a[href="/tests/${id}"]`).first().waitFor({ timeout: 3000 });
    expect(await desk.evaluate("window.sameDocument")).toBe(true);
  });

  it("a step that the phone begins runs on the desk's run sheet, and nothing is asked where all is shown", async () => {
    const id = await beginPrint(phone, "Run on two devices");
    await desk.goto(`${server.address}/prints/${id}`);
    await phone.goto(`${server.address}/prints/${id}`);
    await phone.locator("[data-timer-press] button").first().click();
    await desk.locator(".run-step.running [data-timer]").waitFor({ timeout: 3000 });
    await desk.waitForFunction(`document.querySelector("[data-timer-time]")?.textContent?.match(/\\d/) !== null`);
    await desk.getByRole("button", { name: /^Done/ }).first().click();
    // Long before its time, so that it is asked for once more.
    await desk.getByRole("button", { name: "End it now" }).click();
    await phone.locator(".run-step.done").waitFor({ timeout: 3000 });
    for (const page of [desk, phone]) expect(await page.locator("[data-changed]").isVisible()).toBe(false);
  });

  it("a board that was opened with nothing running counts down what the phone begins", async () => {
    const board = await contexts[0]!.newPage();
    await board.goto(server.address);
    expect(await board.locator("[data-timer]").count()).toBe(0);
    const id = await beginPrint(phone, "Begun from the phone");
    await phone.goto(`${server.address}/prints/${id}`);
    await phone.locator("[data-timer-press] button").first().click();
    await board.locator("[data-timer]").waitFor({ timeout: 3000 });
    const shown = (): Promise<string> => board.locator("[data-timer-time]").first().innerText();
    const first = await shown();
    await expect.poll(shown, { timeout: 3000 }).not.toBe(first);
    await board.close();
  });

  it("a page with unsent notes says that the record was changed, and keeps them", async () => {
    const id = await beginPrint(phone, "Notes on the desk");
    await desk.goto(`${server.address}/prints/${id}`);
    await desk.fill("#print-notes", "half written");
    await phone.request.patch(`${server.address}/api/prints/${id}`, { data: { outcome: "right" } });
    await desk.getByText("This was changed on another device.").waitFor({ timeout: 3000 });
    expect(await desk.inputValue("#print-notes")).toBe("half written");
    await desk.getByRole("link", { name: "Show it as it is now" }).click();
    await desk.locator('button[name="outcome"][value="right"][aria-pressed="true"]').waitFor();
    await phone.request.delete(`${server.address}/api/prints/${id}`);
    await desk.getByText("This was deleted on another device.").waitFor({ timeout: 3000 });
  });

  it("a page that was hidden catches up when it is looked at again, and holds no stream meanwhile", async () => {
    await desk.goto(`${server.address}/prints`);
    const hide = (state: string): Promise<unknown> =>
      desk.evaluate(
        `Object.defineProperty(document, "visibilityState", { configurable: true, value: "${state}" }); ` +
          `document.dispatchEvent(new Event("visibilitychange"))`,
      );
    await desk.waitForTimeout(300);
    await hide("hidden");
    await beginPrint(phone, "Begun while hidden");
    await desk.waitForTimeout(500);
    expect(await desk.getByText("Begun while hidden").count()).toBe(0);
    await hide("visible");
    await desk.getByRole("link", { name: "Begun while hidden" }).waitFor({ timeout: 3000 });
  });

  it("and no page has anything to complain of", () => {
    expect(errors).toEqual([]);
  });
});
