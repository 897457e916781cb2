// The four uses as a person walks them, from the first page to the first answer.
import { join } from "node:path";
import type { Page } from "playwright-core";
import { rootDir } from "#src/settings.ts";
import type { Walk } from "./walk.ts";

const picture = (key: string): string => join(rootDir, "samples", "pictures", `${key}.jpg`);

export interface Journey {
  readonly name: string;
  /** What the studio knows before: invented samples, by key; none for an empty studio. */
  readonly known: readonly string[];
  /** Walks to the first answer; throws where it is none. */
  walk(walk: Walk, page: Page): Promise<void>;
}

/** What is read of a result: the time with its range, and what is said of it in a word. */
const resultParts =
  ".answer-label, .answer-time, .answer-span, .answer-about, .answer-range, .result-answer .notice-word";

async function readTime(walk: Walk, page: Page): Promise<void> {
  await walk.read(resultParts);
  const time = await page.locator(".answer-time [aria-hidden], .answer-span [aria-hidden]").first().innerText();
  if (!/^\d+:\d\d/.test(time)) throw new Error(`No time, but "${time}".`);
}

const newTest = (page: Page) => page.getByRole("link", { name: "New test", exact: true }).and(page.locator(".button"));
const result = (page: Page) => page.locator(".result");
const readIt = (page: Page) => page.getByRole("button", { name: "Read the picture" });

export const fourJourneys: readonly Journey[] = [
  {
    name: "a new box",
    known: [],
    async walk(walk, page) {
      await walk.lead(page.getByRole("link", { name: "I have a test print: read it" }), page.locator("#photo"));
      await walk.file(page.locator("#photo"), picture("scan-on-paper"));
      await walk.type(page.locator("#lampId-new"), "New box");
      await walk.type(page.locator("#supportId-new"), "Rag paper");
      await walk.type(page.locator("#exposure-minutes"), "30");
      await walk.lead(readIt(page), result(page));
      await readTime(walk, page);
    },
  },
  {
    name: "the sun",
    known: [],
    async walk(walk, page) {
      await walk.lead(page.getByRole("link", { name: /I print by the sun/ }), page.locator("[data-sun-form]"));
      await walk.lead(page.getByRole("link", { name: "Read a print from the sun" }), page.locator("#photo"));
      await walk.file(page.locator("#photo"), picture("sun-test"));
      await walk.type(page.locator("#supportId-new"), "Rag paper");
      await walk.type(page.locator("#exposure-minutes"), "12");
      await walk.type(page.locator("#sunCity"), "Amsterdam");
      await walk.type(page.locator("#sunStartedAt"), "2026-06-20T13:10", ["06202026", "ArrowRight", "0110P"]);
      await walk.lead(readIt(page), result(page));
      await readTime(walk, page);
    },
  },
  {
    name: "paper against cotton",
    known: ["scan-on-paper"],
    async walk(walk, page) {
      await walk.lead(newTest(page), page.locator("#photo"));
      await walk.file(page.locator("#photo"), picture("cotton"));
      await walk.open(page.locator("details.step:has(#supportId) > summary"));
      await walk.choose(page.locator("#supportId"), "Washed plain-weave cotton (sample)");
      await walk.type(page.locator("#exposure-minutes"), "30");
      await walk.lead(readIt(page), result(page));
      await walk.lead(page.getByRole("link", { name: /^Against / }), page.locator(".compared").first());
      await walk.read(".compared:first-of-type .compared-sentence");
      const sentence = await page.locator(".compared-sentence").nth(1).innerText();
      if (!/\d/.test(sentence)) throw new Error(`No ratio, but "${sentence}".`);
    },
  },
  {
    name: "the next negative",
    known: ["scan-on-paper"],
    async walk(walk, page) {
      await walk.lead(newTest(page), page.locator("#photo"));
      await walk.file(page.locator("#photo"), picture("grey-levels"));
      await walk.open(page.locator(".tablet-fold > summary"));
      await walk.take(page.locator('input[name="tabletChoice"][value="levels"]'));
      await walk.type(page.locator("#exposure-minutes"), "10");
      await walk.lead(readIt(page), result(page));
      await walk.lead(page.getByRole("link", { name: "Make a negative" }), page.locator("#photo"));
      await walk.file(page.locator("#photo"), picture("cotton"));
      await madeFile(walk, page);
    },
  },
];

/** The file itself: without script it comes at once, with script a link to it stands on the page. */
async function madeFile(walk: Walk, page: Page): Promise<void> {
  const make = page.getByRole("button", { name: "Make the negative" });
  const link = page.locator("[data-done]:not([hidden]) a[data-file]");
  if (walk.hasScript) {
    await walk.lead(make, link);
    await walk.read("[data-done] > div > p");
  }
  const name = walk.hasScript ? ((await link.getAttribute("href")) ?? "") : await walk.download(make);
  if (name === "" || name === "#") throw new Error("No negative was made.");
}
