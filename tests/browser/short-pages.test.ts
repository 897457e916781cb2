// On a phone, form and result are short: what is rarely asked for is folded, and nothing of it is lost on paper.
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { Browser, Page } from "playwright-core";
import { temporaryFolder } from "../support/temporary-folder.ts";
import { chromiumPath, launchChromium } from "./chromium.ts";
import { fillStudio } from "./fill-studio.ts";
import { serveApp, type TestServer } from "./serve.ts";

const executablePath = chromiumPath();

/** Heights of a telephone, and what a page may be at most: five of its screens for a result, four for the form. */
const phone = { width: 390, height: 844 };
const mostPx = { result: 5 * phone.height, form: 4 * phone.height };
/** Words between the time and the strip: two short sentences. */
const mostWords = 40;

describe.skipIf(executablePath === undefined)("form and result on a phone", () => {
  let server: TestServer;
  let browser: Browser;
  let page: Page;
  let test = "";

  beforeAll(async () => {
    server = await serveApp(temporaryFolder());
    const [id = ""] = await fillStudio(server.address, ["scan-on-paper"]);
    test = `${server.address}/tests/${id}`;
    browser = await launchChromium(executablePath!);
    page = await (await browser.newContext({ viewport: phone })).newPage();
  });

  afterAll(async () => {
    await browser?.close();
    await server?.close();
  });

  const heightOfPage = async (): Promise<number> =>
    Number(await page.evaluate("document.documentElement.scrollHeight"));
  const topOf = async (selector: string): Promise<number> =>
    (await page.locator(selector).locator("visible=true").first().boundingBox())?.y ?? Number.NaN;

  it("shows time, strip, curve, actions and the folded rest, in this order and on few screens", async () => {
    await page.goto(test);
    const order = [".answer-time", ".strip-edge", ".plot-path", ".result-actions .button", ".fold > summary"];
    const tops: number[] = [];
    for (const selector of order) tops.push(await topOf(selector));
    expect(
      tops.every((top, index) => index === 0 || top > (tops[index - 1] ?? Number.NaN)),
      tops.join(),
    ).toBe(true);
    expect(await heightOfPage()).toBeLessThanOrEqual(mostPx.result);
  });

  it("says two short sentences between the time and the strip", async () => {
    await page.goto(test);
    const said = await page.locator(".answer-conditions, .result-answer > .notice, .result-answer > p").allInnerTexts();
    expect(said.join(" ").split(/\s+/).length, said.join(" | ")).toBeLessThanOrEqual(mostWords);
    expect(await page.locator(".answer-range").count()).toBe(1);
  });

  it("begins a new test with what was used last, on few screens", async () => {
    await page.goto(`${server.address}/tests/new`);
    expect(await page.locator("[data-says]").count()).toBe(2);
    expect(await heightOfPage()).toBeLessThanOrEqual(mostPx.form);
  });

  it("says at once in the head of a folded part what was changed inside", async () => {
    await page.goto(`${server.address}/tests/new`);
    const tablet = page.locator(".tablet-fold");
    await tablet.locator("> summary").click();
    await page.check('input[name="tabletChoice"][value="even-31"]');
    await tablet.locator("> summary").click();
    expect(await tablet.locator("[data-says]").innerText()).toBe("Film tablet, 31 steps");
    const madeWith = page.locator("details.step:has(#lampId)");
    await madeWith.locator("> summary").click();
    await madeWith.getByText("Add another light").click();
    await page.fill("#lampId-new", "Box Three");
    await madeWith.locator("> summary").click();
    expect(await madeWith.locator("[data-says]").innerText()).toMatch(/^Box Three, /);
  });

  it("opens every folded part on paper", async () => {
    await page.goto(test);
    const hidden = (): Promise<number> => page.locator(".fold > :not(summary, .term)").locator("visible=false").count();
    expect(await hidden()).toBeGreaterThan(5);
    await page.emulateMedia({ media: "print" });
    expect(await page.locator(".fold .reasons li").first().isVisible()).toBe(true);
    expect(await page.locator(".fold table.steps").isVisible()).toBe(true);
    expect(await hidden()).toBe(0);
    await page.emulateMedia({ media: null });
  });
});
