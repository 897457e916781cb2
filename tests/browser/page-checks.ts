// What every page must stand: rules of accessibility, both widths, every set of colours, text twice as large.
import { createRequire } from "node:module";
import type { Page } from "playwright-core";

const axeFile = createRequire(import.meta.url).resolve("axe-core/axe.min.js");

export interface Finding {
  readonly path: string;
  readonly what: string;
}

/** Desk and phone. */
const widths = [
  { width: 1280, height: 800 },
  { width: 390, height: 844 },
] as const;

/** Colours beside the light ones. */
export const furtherThemes = ["dark", "darkroom"] as const;

/** The house's letters are 112.5 % of the browser's. Twice that: WCAG 2.2, success criterion 1.4.4, resize text. */
const twiceAsLarge = "225%";

/** The rules that other colours can break; the rest of a page is the same in all of them. */
const rulesOfColour = ["color-contrast", "link-in-text-block"];

/** What axe finds wrong with the page as it stands. @param rules all when absent */
export async function axeFindings(page: Page, path: string, rules?: readonly string[]): Promise<Finding[]> {
  if (!(await page.evaluate("typeof axe === 'object'"))) await page.addScriptTag({ path: axeFile });
  const options = { resultTypes: ["violations"], ...(rules === undefined ? {} : { runOnly: rules }) };
  const violations = (await page.evaluate(
    `axe.run(document, ${JSON.stringify(options)}).then((result) => result.violations.map((each) => each.id + ": " +
      each.nodes.slice(0, 3).map((node) => node.html.slice(0, 160) + " " + (node.any[0]?.message ?? "")).join(" | ")))`,
  )) as string[];
  return violations.map((what) => ({ path, what }));
}

/** Words that stand out of the page sideways, are cut off, or lie over each other in a drawing. */
async function misplaced(page: Page, path: string): Promise<Finding[]> {
  const found = (await page.evaluate(misplacedScript)) as string[];
  return found.map((what) => ({ path, what }));
}

const misplacedScript = `(() => {
  const found = [];
  const wide = document.documentElement.scrollWidth - document.documentElement.clientWidth;
  if (wide > 0) found.push(wide + " px too wide");
  const seen = (element) => element.checkVisibility({ visibilityProperty: true, opacityProperty: true });
  const named = (element) => element.outerHTML.slice(0, 90).replaceAll(/\\s+/g, " ");
  for (const element of document.body.querySelectorAll("*")) {
    if (element.closest("svg, .visually-hidden, select, canvas, [hidden]") || !seen(element)) continue;
    const style = getComputedStyle(element);
    const cuts = (overflow) => overflow === "hidden" || overflow === "clip";
    const isInput = /^(INPUT|TEXTAREA|SELECT)$/.test(element.tagName);
    if (isInput || element.textContent.trim() === "") continue;
    const isWide = element.scrollWidth > element.clientWidth + 1;
    if (cuts(style.overflowX) && isWide) found.push("cut sideways: " + named(element));
    if (cuts(style.overflowY) && element.scrollHeight > element.clientHeight + 1)
      found.push("cut below: " + named(element));
    // Words that run out of a frame of their own.
    if (/button|answer|notice|card|tag/.test(element.className) && style.overflowX === "visible" &&
        element.scrollWidth > element.clientWidth + 1) found.push("runs out of its frame: " + named(element));
  }
  // Buttons one below the other with no room between are pressed for each other.
  const leastRoomPx = 4;
  const buttons = [...document.querySelectorAll("main .button")].filter(seen)
    .map((button) => ({ button, box: button.getBoundingClientRect() }));
  buttons.forEach((one, i) => buttons.slice(0, i).forEach((other) => {
    const across = Math.min(one.box.right, other.box.right) - Math.max(one.box.left, other.box.left);
    const apart = Math.max(one.box.top, other.box.top) - Math.min(one.box.bottom, other.box.bottom);
    if (across > 0 && apart < leastRoomPx) found.push("touches another button: " + named(one.button));
  }));
  // A box of text holds room above and below the letters: about a quarter of its height each.
  const inkOf = ({ left, right, top, bottom, height }) =>
    ({ left, right, top: top + 0.22 * height, bottom: bottom - 0.24 * height });
  for (const drawing of document.querySelectorAll("svg")) {
    if (!seen(drawing)) continue;
    const texts = [...drawing.querySelectorAll("text")].filter((text) => text.textContent.trim() !== "")
      .map((text) => ({ words: text.textContent.trim(), box: inkOf(text.getBoundingClientRect()) }));
    texts.forEach((one, i) => texts.slice(0, i).forEach((other) => {
      const across = Math.min(one.box.right, other.box.right) - Math.max(one.box.left, other.box.left);
      const down = Math.min(one.box.bottom, other.box.bottom) - Math.max(one.box.top, other.box.top);
      if (across > 0.5 && down > 0.5)
        found.push("words over words in a drawing: " + one.words + " / " + other.words);
    }));
    for (const line of drawing.querySelectorAll(".answer-line path")) {
      const { left } = line.getBoundingClientRect();
      const { top, bottom } = line.getBoundingClientRect();
      for (const { words, box } of texts) {
        const isOver = Math.min(bottom, box.bottom) - Math.max(top, box.top) > 2;
        if (box.left + 0.5 < left && left < box.right - 0.5 && isOver)
          found.push("the line of the answer crosses: " + words);
      }
    }
  }
  return found;
})()`;

/** Everything that is wrong with the page in any of its looks. */
export async function findingsInAllLooks(page: Page, path: string): Promise<Finding[]> {
  const findings: Finding[] = [];
  for (const size of widths) {
    await page.setViewportSize(size);
    const place = `${path} at ${size.width} px`;
    findings.push(...(await axeFindings(page, place)), ...(await misplaced(page, place)));
    await page.evaluate(`document.documentElement.style.fontSize = "${twiceAsLarge}"`);
    findings.push(...(await misplaced(page, `${place}, text twice as large`)));
    await page.evaluate(`document.documentElement.style.fontSize = ""`);
    findings.push(...(await findingsOfColours(page, place)));
  }
  return findings;
}

/** What further sets of colours do wrong on the page that is open, which is light again afterwards. */
export async function findingsOfColours(page: Page, path: string): Promise<Finding[]> {
  const findings: Finding[] = [];
  for (const theme of furtherThemes) {
    await wear(page, theme);
    findings.push(...(await axeFindings(page, `${path}, ${theme}`, rulesOfColour)));
  }
  await wear(page, "light");
  return findings;
}

/** Puts other colours on the page that is open. */
export async function wear(page: Page, theme: string): Promise<void> {
  // The red sheet over the darkroom's pages takes away light but no contrast of red on black.
  await page.evaluate(`(() => {
    document.documentElement.dataset.theme = "${theme}";
    if (document.getElementById("no-red-sheet")) return;
    const style = document.createElement("style");
    style.id = "no-red-sheet";
    style.textContent = "body::after { display: none !important; }";
    document.head.append(style);
  })()`);
}

/** Most bytes of a page with its styles, scripts and typefaces, without its pictures. */
export const mostPageBytes = 300_000;

/** Bytes of the page that is open with its styles, scripts and typefaces, without its pictures. */
export async function pageBytes(page: Page): Promise<number> {
  return Number(
    await page.evaluate(`[...performance.getEntriesByType("navigation"), ...performance.getEntriesByType("resource")]
      .filter(({ name, initiatorType }) => !/^(img|image)$/.test(initiatorType) && !name.includes("/pictures/"))
      .reduce((sum, { encodedBodySize }) => sum + encodedBodySize, 0)`),
  );
}
