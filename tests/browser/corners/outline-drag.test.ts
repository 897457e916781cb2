// The outline of a strip is dragged whole in a browser: by mouse, and by one finger.
import { describe, expect, it } from "vitest";
import type { Page } from "playwright-core";
import { chromiumPath } from "../chromium.ts";
import { servedSamples } from "../served-samples.ts";

type Way = readonly [dx: number, dy: number];

/** By hand: where it begins on the screen, and how far it goes [px]. */
type Drag = (page: Page, from: Way, way: Way) => Promise<void>;

const moves = 6;

const byMouse: Drag = async (page, [x, y], [dx, dy]) => {
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + dx, y + dy, { steps: moves });
  await page.mouse.up();
};

/** Touches as the browser itself gets them from a screen, so that scrolling and panning may claim them as there. */
const byFinger: Drag = async (page, [x, y], [dx, dy]) => {
  const session = await page.context().newCDPSession(page);
  const touch = (type: "touchStart" | "touchMove" | "touchEnd", share: number): Promise<unknown> =>
    session.send("Input.dispatchTouchEvent", {
      type,
      touchPoints: type === "touchEnd" ? [] : [{ x: x + dx * share, y: y + dy * share }],
    });
  await touch("touchStart", 0);
  for (let i = 1; i <= moves; i++) await touch("touchMove", i / moves);
  await touch("touchEnd", 1);
};

describe.skipIf(chromiumPath() === undefined)("the outline of a saved test, in a browser", () => {
  const served = servedSamples();

  /** The corners page of the first saved test that has corners, its picture in sight. */
  async function cornersPage(width: number): Promise<Page> {
    const { browser, server } = served;
    const context = await browser.newContext({ viewport: { width, height: 844 }, hasTouch: width < 500 });
    const page = await context.newPage();
    const tests = (await (await fetch(`${server.address}/api/tests`)).json()) as { id: string }[];
    await page.goto(`${server.address}/tests/${tests[0]!.id}/corners`);
    await page.locator("[data-stage].live").waitFor();
    await page.locator("[data-stage]").scrollIntoViewIfNeeded();
    return page;
  }

  /** Corners as the page's fields hold them [px of the picture], across and down in turn. */
  async function cornersOf(page: Page): Promise<number[]> {
    await page.locator("[data-corner-numbers]").evaluate((details) => details.setAttribute("open", ""));
    const fields = await page.locator('[name^="corners."]').all();
    return Promise.all(fields.map(async (field) => Number(await field.inputValue())));
  }

  /** The middle of the outline on the screen: handles stand outside their corners, all to the same distance. */
  const middleOf = (page: Page): Promise<[number, number]> =>
    page
      .locator("[data-stage] polygon")
      .first()
      .evaluate((outline) => {
        const box = outline.getBoundingClientRect();
        return [box.left + box.width / 2, box.top + box.height / 2];
      });

  it.each([
    ["by mouse", 1280, byMouse],
    ["by one finger", 390, byFinger],
  ] as const)("moves all four corners alike %s, and back by undo", async (_how, width, drag) => {
    const page = await cornersPage(width);
    const before = await cornersOf(page);
    const scrolled = await page.evaluate("window.scrollY");
    await drag(page, await middleOf(page), [24, 12]);
    const after = await cornersOf(page);
    const [dx, dy] = [after[0]! - before[0]!, after[1]! - before[1]!];
    expect(Math.hypot(dx, dy)).toBeGreaterThan(5);
    after.forEach((value, i) => expect(value - before[i]!).toBeCloseTo(i % 2 === 0 ? dx : dy, 0));
    // What was taken for a drag of the outline has not moved the page under it.
    expect(await page.evaluate("window.scrollY")).toBe(scrolled);
    await page.getByRole("button", { name: "Undo" }).click();
    expect(await cornersOf(page)).toEqual(before);
    await page.context().close();
  });

  it("stays where it is when the picture beside it is dragged", async () => {
    const page = await cornersPage(1280);
    const before = await cornersOf(page);
    const stage = (await page.locator("[data-stage]").boundingBox())!;
    await byMouse(page, [stage.x + 8, stage.y + stage.height - 8], [30, -20]);
    expect(await cornersOf(page)).toEqual(before);
    await page.context().close();
  });
});
