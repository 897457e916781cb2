// Every state that a page can be in: nothing saved, each kind of answer, errors, a print at work, a refused picture.
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { Browser, Page } from "playwright-core";
import { temporaryFolder } from "../support/temporary-folder.ts";
import { chromiumPath, launchChromium } from "./chromium.ts";
import { findingsInAllLooks, furtherThemes, wear } from "./page-checks.ts";
import { photographOf } from "./photograph.ts";
import { serveApp, type TestServer } from "./serve.ts";
import { studioOfStates, type StateStudio } from "./studio-of-states.ts";

const executablePath = chromiumPath();
const phoneHeight = 844;
const narrowest = 390;

describe.skipIf(executablePath === undefined)("pages in every state", { timeout: 120_000 }, () => {
  let empty: TestServer;
  let server: TestServer;
  let studio: StateStudio;
  let browser: Browser;
  let page: Page;

  beforeAll(async () => {
    empty = await serveApp(temporaryFolder());
    server = await serveApp(temporaryFolder());
    studio = await studioOfStates(server);
    browser = await launchChromium(executablePath ?? "");
    const context = await browser.newContext({ bypassCSP: true, reducedMotion: "reduce" });
    page = await context.newPage();
  });

  afterAll(async () => {
    await browser?.close();
    await server?.close();
    await empty?.close();
  });

  it.each([
    "/",
    "/tests",
    "/tests/new",
    "/prints",
    "/prints/new",
    "/comparisons",
    "/negatives",
    "/studio",
    "/sun",
    "/exposures",
  ])("an empty studio's %s", async (path) => {
    await page.goto(empty.address + path);
    expect(await findingsInAllLooks(page, path)).toEqual([]);
  });

  it("a new test's form with the kinds of picture open", async () => {
    await page.goto(`${empty.address}/tests/new`);
    await page.locator(".coach > summary").click();
    expect(await findingsInAllLooks(page, "/tests/new")).toEqual([]);
  });

  it("a kept tablet whose calibration is open", async () => {
    const densities = [0.05, 0.2, 0.35, 0.5, 0.65];
    await page.request.post(`${server.address}/api/tablets`, { data: { name: "Old 5", densities } });
    await page.goto(`${server.address}/tablets`);
    await page.locator("main details summary").first().click();
    expect(await findingsInAllLooks(page, "/tablets")).toEqual([]);
  });

  it.each([
    ["good", ".answer.good"],
    ["doubtful", ".answer.doubtful"],
    ["too-short", ".answer.test-time"],
    ["tones", ".answer.no-time"],
    ["sun", ".answer.good"],
  ] as const)("a test that is %s", async (state, shown) => {
    await page.goto(`${server.address}/tests/${studio.tests[state]}`);
    expect(await page.locator(shown).count()).toBe(1);
    expect(await findingsInAllLooks(page, state)).toEqual([]);
  });

  it.each(["good", "doubtful", "too-short", "sun"] as const)(
    "on a phone every flagged step of a test that is %s is named within one screen of its time",
    async (state) => {
      await page.setViewportSize({ width: 390, height: phoneHeight });
      await page.goto(`${server.address}/tests/${studio.tests[state]}`);
      const flags = (await page.evaluate(`(() => {
        const time = document.querySelector(".answer").getBoundingClientRect().top;
        const below = (selector) => [...document.querySelectorAll(selector)]
          .map((flag) => Math.round(flag.getBoundingClientRect().bottom - time));
        return { steps: below(".result .flag-line"), cautions: below(".result .notice") };
      })()`)) as { steps: number[]; cautions: number[] };
      const flagged = await page.locator(".curve-drawing.narrow .strip-edge.flagged").count();
      const named = await page.locator(".flag-line").allInnerTexts();
      const furthest = (places: readonly number[]): number => Math.max(0, ...places);
      console.log(
        `${state}: ${flagged} flagged steps, said ${furthest(flags.steps)} px below the top of the answer; ` +
          `its cautions end ${furthest(flags.cautions)} px below`,
      );
      expect([...named.join().matchAll(/\d+/g)].length).toBe(flagged);
      expect(furthest(flags.steps)).toBeLessThanOrEqual(phoneHeight);
    },
  );

  it.each([
    ["a time that nobody tested", "predicted", ".answer.predicted"],
    ["tests that disagree", "disagreeing", ".answer.no-time"],
    ["nothing to go by", "unknown", ".answer.no-time"],
  ] as const)("looked up: %s", async (_name, state, shown) => {
    await page.goto(server.address + studio.lookups[state]);
    expect(await page.locator(shown).count()).toBe(1);
    expect(await findingsInAllLooks(page, state)).toEqual([]);
  });

  it("the board, with what is overdue, what disagrees and what runs", async () => {
    await page.goto(server.address);
    for (const state of ["good", "overdue", "disagree", "no-time"])
      expect(await page.locator(`.board-card.${state}`).count(), state).toBeGreaterThan(0);
    expect(await page.locator("[data-run-part]").count()).toBe(1);
    expect(await findingsInAllLooks(page, "board")).toEqual([]);
  });

  it.each(["running", "paused", "finished"] as const)("a run sheet that is %s", async (state) => {
    await page.goto(`${server.address}/prints/${studio.prints[state]}`);
    expect(await findingsInAllLooks(page, `run sheet, ${state}`)).toEqual([]);
  });

  it("a box with an overdue calibration", async () => {
    await page.goto(`${server.address}/studio/boxes/${studio.overdueLamp}`);
    expect(await page.locator("main").innerText()).toContain("overdue");
    expect(await findingsInAllLooks(page, "overdue box")).toEqual([]);
  });

  /** Sends the page's form although the browser itself would hold it back. */
  async function sendUnchecked(form: string): Promise<void> {
    await page.evaluate(`document.querySelector("${form}").noValidate = true`);
    await page.locator(`${form} [type=submit]`).last().click();
    await page.locator("[data-error-summary]").waitFor();
  }

  it("a form that misses everything", async () => {
    await page.goto(`${empty.address}/tests/new`);
    await page.fill("#coatingId-new", "");
    await sendUnchecked("form.test-form");
    expect(await findingsInAllLooks(page, "new test, errors")).toEqual([]);
  });

  it("a picture that is none", async () => {
    await page.goto(`${server.address}/tests/new`);
    await page.setInputFiles("#photo", {
      name: "letter.jpg",
      mimeType: "image/jpeg",
      buffer: Buffer.from("no picture"),
    });
    await page.locator("[data-photo-words]").getByText("letter.jpg").waitFor();
    await page.locator("[data-photo-image]").waitFor({ state: "hidden" });
    await page.fill("#exposure-minutes", "10");
    await page.getByRole("button", { name: "Read the picture" }).click();
    await page.locator("[data-error-summary], [data-upload-error]:not([hidden])").first().waitFor();
    expect(await findingsInAllLooks(page, "refused picture")).toEqual([]);
  });

  it.each([
    ["/sun?chosen=yes&latitude=north&longitude=4.9&date=2026-06-20"],
    ["/sheets?widthMm=1&levels=2&dpi=20&paper=a4"],
    ["/first-test?light=sun&latitude=400"],
  ])("an address with something wrong in it: %s", async (path) => {
    const answer = await page.goto(server.address + path);
    expect(answer?.status()).toBe(400);
    expect(await findingsInAllLooks(page, path)).toEqual([]);
  });

  it("the page of parts", async () => {
    await page.goto(`${server.address}/parts`);
    expect(await findingsInAllLooks(page, "/parts")).toEqual([]);
  });

  it.each([narrowest, 768, 1280])("the page of parts at %i px, photographed part by part", async (width) => {
    await page.setViewportSize({ width, height: 844 });
    await page.goto(`${server.address}/parts`);
    await page.evaluate("document.fonts.ready.then(() => true)");
    expect(Number(await page.evaluate("document.documentElement.scrollWidth"))).toBe(width);
    // Colours do not hang on the width: the others are photographed on the phone alone.
    for (const theme of width === narrowest ? ["light", ...furtherThemes] : ["light"]) {
      await wear(page, theme);
      // Part by part: of a page longer than some sixteen thousand pixels a photograph shows the upper ones alone.
      for (const part of await page.locator("main > section").all()) {
        const name = (await part.getAttribute("aria-labelledby")) ?? "";
        const { height, spread } = await photographOf(part, `${name}-${theme}-${width}`);
        expect(height, name).toBeGreaterThan(80);
        expect(spread, `${name} in ${theme} shows something`).toBeGreaterThan(2);
      }
    }
    await wear(page, "light");
    const pane = (colours: string): ReturnType<typeof photographOf> =>
      photographOf(page.locator(`.pane[data-colours="${colours}"]`), `pane-${colours}-${width}`);
    const [light, dark, darkroom] = [await pane("light"), await pane("dark"), await pane("darkroom")];
    expect(light.mean[1]).toBeGreaterThan(150);
    expect(dark.mean[1]).toBeLessThan(90);
    // Safe light: hardly any green, hardly any blue.
    expect(Math.max(darkroom.mean[1], darkroom.mean[2])).toBeLessThan(20);
    expect(darkroom.mean[0]).toBeGreaterThan(darkroom.mean[1] + 10);
  });
});
