// One walk over the pages as a person makes it, by pointer or by keyboard alone: every press, letter and word counted.
import type { Locator, Page } from "playwright-core";
import { emptyTally, type Tally } from "./reckoning.ts";
import { walkedScript } from "./words-seen.ts";

/** What `walkedScript` puts into the page: these functions run there. */
interface InPage {
  readonly walked: {
    used(control: unknown): number;
    passed(control: unknown): number;
    wayTo(control: unknown): "here" | "on" | "back";
    arrowsTo(list: unknown, label: string): number;
  };
}

/** Focus moves after which something is not to be reached by keyboard. */
const mostMoves = 250;

export interface WayOfWalking {
  readonly isByKeyboard: boolean;
  readonly hasScript: boolean;
}

export interface Walk extends WayOfWalking {
  readonly tally: Tally;
  /** Opens the first page: where every journey begins. */
  begin(address: string): Promise<void>;
  /** Presses something that leads on, and waits for what it leads to. */
  lead(target: Locator, arrived: Locator): Promise<void>;
  /** Presses something that is answered by a file; gives the file's name. */
  download(target: Locator): Promise<string>;
  /** Presses something that opens on the page. */
  open(target: Locator): Promise<void>;
  /** Fills a field. `keys`: what the fingers do where the field takes other keys than it shows. */
  type(target: Locator, text: string, keys?: readonly string[]): Promise<void>;
  /** Chooses from a list by the words shown. */
  choose(list: Locator, label: string): Promise<void>;
  /** Chooses one of several ways. */
  take(radio: Locator): Promise<void>;
  /** Chooses a file; what the system's own dialogue asks is not counted. */
  file(target: Locator, path: string): Promise<void>;
  /** Reads the answer. */
  read(selector: string): Promise<void>;
}

export function startWalk(page: Page, { isByKeyboard, hasScript }: WayOfWalking): Walk {
  const tally = emptyTally();

  /** Asks what the page itself counts. */
  async function ofPage(call: string): Promise<number> {
    await page.evaluate(walkedScript);
    return Number(await page.evaluate(`window.walked.${call}`));
  }

  async function focusOn(target: Locator): Promise<void> {
    for (let moves = 0; moves < mostMoves; moves++, tally.moves++) {
      const way = await target.evaluate((control) => (globalThis as unknown as InPage).walked.wayTo(control));
      if (way === "here") return;
      await page.keyboard.press(way === "back" ? "Shift+Tab" : "Tab");
    }
    throw new Error(`Not to be reached by keyboard: ${target.toString()}`);
  }

  /** Reads the control and what lies above it; by keyboard, goes there. */
  async function reach(target: Locator, focused: Locator = target): Promise<void> {
    await target.waitFor({ state: "attached" });
    await page.evaluate(walkedScript);
    tally.readWords += await target.evaluate((control) => (globalThis as unknown as InPage).walked.used(control));
    tally.scannedWords += await target.evaluate((control) => (globalThis as unknown as InPage).walked.passed(control));
    if (isByKeyboard) await focusOn(focused);
  }

  async function press(target: Locator, key = "Enter"): Promise<void> {
    tally.presses++;
    if (isByKeyboard) await page.keyboard.press(key);
    else await target.click();
  }

  async function timed(work: () => Promise<unknown>): Promise<void> {
    const begun = performance.now();
    await work();
    tally.machineMs += performance.now() - begun;
  }

  return {
    tally,
    isByKeyboard,
    hasScript,
    async begin(address) {
      await timed(() => page.goto(address));
      tally.readWords += await ofPage("opened()");
    },
    async lead(target, arrived) {
      await reach(target);
      await timed(async () => {
        await press(target);
        await arrived.waitFor();
      });
      tally.readWords += await ofPage("opened()");
    },
    async download(target) {
      await reach(target);
      let name = "";
      await timed(async () => {
        const [download] = await Promise.all([page.waitForEvent("download"), press(target)]);
        name = download.suggestedFilename();
      });
      return name;
    },
    async open(target) {
      await reach(target);
      await press(target);
    },
    async type(target, text, keys = [text]) {
      await reach(target);
      tally.presses++;
      tally.letters += text.length;
      if (!isByKeyboard) return target.fill(text);
      for (const each of keys) {
        if (each.startsWith("Arrow")) await page.keyboard.press(each);
        else await page.keyboard.type(each);
      }
    },
    async choose(list, label) {
      await reach(list);
      tally.presses += isByKeyboard ? 1 : 2;
      if (!isByKeyboard) return void (await list.selectOption({ label }));
      const moves = await list.evaluate(
        (each, words) => (globalThis as unknown as InPage).walked.arrowsTo(each, words),
        label,
      );
      for (let move = 0; move < moves; move++) await page.keyboard.press("ArrowDown");
      tally.moves += moves;
    },
    async take(radio) {
      const name = await radio.getAttribute("name");
      await reach(radio, page.locator(`input[name="${name}"]:checked`));
      tally.presses++;
      if (!isByKeyboard) return radio.check();
      for (let moves = 0; moves < mostMoves && !(await radio.isChecked()); moves++, tally.moves++)
        await page.keyboard.press("ArrowDown");
    },
    async file(target, path) {
      await reach(target);
      const [chooser] = await Promise.all([page.waitForEvent("filechooser"), press(target, "Space")]);
      await timed(() => chooser.setFiles(path));
    },
    async read(selector) {
      tally.readWords += await ofPage(`answer(${JSON.stringify(selector)})`);
    },
  };
}
