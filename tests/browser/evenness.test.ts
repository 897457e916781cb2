// The light of a bed from several tablets, marked by hand in a real browser; the rendered picture's truth says what
// must come out.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { Browser, Page } from "playwright-core";
import { rootDir } from "#src/settings.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";
import { chromiumPath, launchChromium } from "./chromium.ts";
import { findingsInAllLooks } from "./page-checks.ts";
import { serveApp, type TestServer } from "./serve.ts";

const executablePath = chromiumPath();
const picture = join(rootDir, "samples", "beds", "five-tablets.jpg");
const truth = JSON.parse(readFileSync(join(rootDir, "samples", "beds", "five-tablets.truth.json"), "utf8")) as {
  bedWidthMm: number;
  bedHeightMm: number;
  tablets: { leftMm: number; backMm: number; corners: [number, number][] }[];
  worstToBestStops: number;
};

describe.skipIf(executablePath === undefined)("mapping a bed from several tablets", () => {
  let server: TestServer;
  let browser: Browser;
  let page: Page;
  let lampId = "";
  const errors: string[] = [];

  beforeAll(async () => {
    server = await serveApp(temporaryFolder());
    const made = await fetch(`${server.address}/api/lamps`, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ name: "Box One (sample)", kind: "tubes" }),
    });
    lampId = ((await made.json()) as { id: string }).id;
    browser = await launchChromium(executablePath ?? "");
    page = await browser.newPage({ viewport: { width: 390, height: 844 }, hasTouch: true });
    page.on("console", (message) => {
      if (message.type() === "error" && !/status of 4\d\d/.test(message.text())) errors.push(message.text());
    });
    page.on("pageerror", (error) => errors.push(error.message));
  });

  afterAll(async () => {
    await browser?.close();
    await server?.close();
  });

  const field = (name: string) => page.locator(`[name="${name}"]`);
  async function typeCorners(tablet: number): Promise<void> {
    const row = page.locator(`[data-row="tablets.${tablet}"]`);
    await row.locator("summary").click();
    for (const [corner, point] of (truth.tablets[tablet]?.corners ?? []).entries())
      for (const [axis, value] of point.entries())
        await field(`tablets.${tablet}.corners.${corner}.${axis}`).fill(value.toFixed(1));
    await row.locator("summary").click();
  }

  it("begins at the box's own page and keeps what was typed when something is missing", async () => {
    await page.goto(`${server.address}/studio/boxes/${lampId}`);
    await page.getByRole("link", { name: "From several tablets" }).click();
    await page.setInputFiles("#even-photo", picture);
    await page.fill("#even-count", "5");
    await page.evaluate("document.querySelector('form.test-form').noValidate = true");
    await page.fill("#even-width", String(truth.bedWidthMm));
    await page.getByRole("button", { name: "Go on to the tablets" }).click();
    expect(await page.locator(".notice:visible").first().innerText()).toContain("how deep the bed is");
    expect(await page.inputValue("#even-width")).toBe(String(truth.bedWidthMm));
    expect(await page.inputValue("#even-count")).toBe("5");
    expect(await page.locator("#even-lamp option:checked").innerText()).toBe("Box One (sample)");
    await page.fill("#even-height", String(truth.bedHeightMm));
    // The picture was kept and need not be chosen again.
    await page.getByRole("button", { name: "Go on to the tablets" }).click();
    await page.waitForSelector(".corner-handle");
    expect(await page.locator(".tablet-row").count()).toBe(5);
  });

  it("marks tablets by handle from the keyboard, by the handle that moves all corners, and by numbers", async () => {
    await page.getByRole("button", { name: "Next: Tablet 2" }).click();
    expect(await page.getByRole("radio", { name: "Tablet 2" }).isChecked()).toBe(true);
    const before = Number(await field("tablets.1.corners.0.0").inputValue());
    await page.getByRole("slider", { name: "Corner 1, top left" }).focus();
    await page.keyboard.press("Shift+ArrowRight");
    expect(Number(await field("tablets.1.corners.0.0").inputValue())).toBeCloseTo(before + 20, 1);
    const others = [
      Number(await field("tablets.1.corners.1.0").inputValue()),
      Number(await field("tablets.1.corners.2.1").inputValue()),
    ] as const;
    await page.getByRole("slider", { name: "All four corners together" }).focus();
    await page.keyboard.press("Shift+ArrowLeft");
    await page.keyboard.press("Shift+ArrowDown");
    expect(Number(await field("tablets.1.corners.0.0").inputValue())).toBeCloseTo(before, 1);
    expect(Number(await field("tablets.1.corners.1.0").inputValue())).toBeCloseTo(others[0] - 20, 1);
    expect(Number(await field("tablets.1.corners.2.1").inputValue())).toBeCloseTo(others[1] + 20, 1);
    for (const tablet of [0, 1, 2, 3]) await typeCorners(tablet);
  });

  it("takes one tablet more and one fewer without losing the marks made, and never fewer than five", async () => {
    const kept = await field("tablets.3.corners.2.1").inputValue();
    await page.getByRole("button", { name: "One more tablet" }).click();
    await page.waitForSelector('[data-row="tablets.5"]');
    expect(await field("tablets.3.corners.2.1").inputValue()).toBe(kept);
    await page.getByRole("button", { name: "One tablet fewer" }).click();
    await page.waitForSelector('[data-row="tablets.5"]', { state: "detached" });
    expect(await field("tablets.3.corners.2.1").inputValue()).toBe(kept);
    expect(await page.getByRole("button", { name: "One tablet fewer" }).count()).toBe(0);
    await typeCorners(4);
  });

  it("when a place lies beside the bed, says which tablet and keeps the rest", async () => {
    for (const [index, { leftMm, backMm }] of truth.tablets.entries()) {
      await field(`tablets.${index}.leftMm`).fill(String(leftMm));
      await field(`tablets.${index}.backMm`).fill(String(backMm));
    }
    await field("tablets.3.leftMm").fill("900");
    await page.evaluate("document.querySelector('[data-tablets-form]').noValidate = true");
    await page.getByRole("button", { name: "Draw the map" }).click();
    expect(await page.locator(".notice:visible").first().innerText()).toContain("Tablet 4: say in millimetres");
    await page.waitForSelector(".corner-handle");
    expect(await page.getByRole("radio", { name: "Tablet 4" }).isChecked()).toBe(true);
    expect(await field("tablets.4.backMm").inputValue()).toBe(String(truth.tablets[4]?.backMm));
    await field("tablets.3.leftMm").fill(String(truth.tablets[3]?.leftMm));
  });

  it("lays the chosen tablet where the plan is pressed", async () => {
    const plan = page.locator("[data-plan-picture]");
    const box = await plan.boundingBox();
    if (box === null) throw new Error("The plan is nowhere.");
    await plan.click({ position: { x: box.width / 4, y: box.height / 2 } });
    expect(Math.abs(Number(await field("tablets.3.leftMm").inputValue()) - truth.bedWidthMm / 4)).toBeLessThan(4);
    expect(Math.abs(Number(await field("tablets.3.backMm").inputValue()) - truth.bedHeightMm / 2)).toBeLessThan(4);
    await field("tablets.3.leftMm").fill(String(truth.tablets[3]?.leftMm));
    await field("tablets.3.backMm").fill(String(truth.tablets[3]?.backMm));
  });

  it("draws a map whose range holds the truth, which tells its figures, and keeps it with the box", async () => {
    await page.getByRole("button", { name: "Draw the map" }).click();
    await page.waitForSelector(".evenness-map");
    const [, range, lower, upper] =
      /: ([\d.]+) stop less \(95 %: ([\d.]+) to ([\d.]+)\)/.exec(await page.locator(".reasons").innerText()) ?? [];
    expect(Number(lower)).toBeLessThan(truth.worstToBestStops);
    expect(Number(upper)).toBeGreaterThan(truth.worstToBestStops);
    expect(await page.locator(".bed-spot").count()).toBe(5);
    expect(await page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")).toBe(0);
    await tellsItsFigures(page);
    await showsItsNumbers(page);
    const copy = await browser.newPage({ bypassCSP: true, reducedMotion: "reduce" });
    await copy.goto(server.address);
    await copy.setContent(await page.content(), { waitUntil: "networkidle" });
    expect(await findingsInAllLooks(copy, "the map of the bed")).toEqual([]);
    await copy.close();
    await page.getByRole("button", { name: "Keep with Box One" }).click();
    expect(await page.locator("main").innerText()).toContain(`differed by ${range} stop`);
  });

  it("leaves nothing in the console", () => {
    expect(errors).toEqual([]);
  });
});

/** All columns of the numbers beside each other on a phone, each number on one line. */
async function showsItsNumbers(page: Page): Promise<void> {
  const cells = page.getByRole("region", { name: "The same as numbers" }).locator("tbody td");
  expect(await cells.count()).toBe(25);
  expect(await cells.first().innerText()).toMatch(/^[-−]?\d\.\d\d\n\d+ %$/);
  const [over, lines] = (await page.evaluate(`(() => {
    const region = document.querySelector('[aria-labelledby="evenness-table"]');
    const heights = [...region.querySelectorAll("td")].map((cell) =>
      cell.clientHeight / parseFloat(getComputedStyle(cell).lineHeight));
    return [region.scrollWidth - region.clientWidth, Math.max(...heights)];
  })()`)) as [number, number];
  expect(over).toBe(0);
  // Two lines and the room about them.
  expect(lines).toBeLessThan(3);
}

/** The light at a place under the pointer, and beside it by the arrow keys. */
async function tellsItsFigures(page: Page): Promise<void> {
  const told = () => page.locator(".evenness-map [data-plot-reading]").innerText();
  const drawing = page.locator(".evenness-map svg");
  const box = await drawing.boundingBox();
  await drawing.hover({ position: { x: (box?.width ?? 0) * 0.51, y: (box?.height ?? 0) * 0.02 } });
  const [, row, place, columns] =
    /^Row (\d+) of \d+: place (\d+) of (\d+), [-−]?[\d.]+ stop, \d+ %$/.exec(await told()) ?? [];
  expect(row).toBe("1");
  expect(Number(place)).toBe(Number(columns) / 2 + 1);
  await drawing.focus();
  await page.keyboard.press("ArrowRight");
  expect(await told()).toContain(`place ${Number(place) + 1} of`);
  await page.keyboard.press("ArrowDown");
  expect(await told()).toMatch(new RegExp(`^Row 2 of \\d+: place ${Number(place) + 1} of`));
}
