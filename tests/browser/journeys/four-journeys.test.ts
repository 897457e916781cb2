// The four journeys walked with script, without, by keyboard alone and on a phone: presses and seconds are counted,
// printed and held to their limits.
import { cpSync } from "node:fs";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { Browser } from "playwright-core";
import { temporaryFolder } from "../../support/temporary-folder.ts";
import { chromiumPath, launchChromium } from "../chromium.ts";
import { fillStudio } from "../fill-studio.ts";
import { serveApp } from "../serve.ts";
import { fourJourneys } from "./four-journeys.ts";
import { machineAndReadingSeconds, mostPresses, mostSeconds, tallyHead, tallyLine } from "./reckoning.ts";
import { startWalk } from "./walk.ts";

const executablePath = chromiumPath();
const desk = { width: 1280, height: 800 };

const ways = [
  { way: "with script", options: { viewport: desk }, isByKeyboard: false, hasScript: true },
  {
    way: "without script",
    options: { viewport: desk, javaScriptEnabled: false },
    isByKeyboard: false,
    hasScript: false,
  },
  { way: "by keyboard", options: { viewport: desk }, isByKeyboard: true, hasScript: true },
  {
    way: "at 390 px",
    options: { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true },
    isByKeyboard: false,
    hasScript: true,
  },
] as const;

// A machine at work on other things is slow now and then: a walk may be walked twice.
describe.skipIf(executablePath === undefined)("the four journeys to a first answer", { retry: 1 }, () => {
  let browser: Browser;
  /** A data folder for each set of known prints, made once and copied for each walk. */
  const studios = new Map<string, string>();
  const table: string[] = [tallyHead];

  beforeAll(async () => {
    browser = await launchChromium(executablePath ?? "");
    for (const { known } of fourJourneys) {
      if (studios.has(known.join())) continue;
      const folder = temporaryFolder();
      studios.set(known.join(), folder);
      const server = await serveApp(folder);
      if (known.length > 0) await fillStudio(server.address, known);
      await server.close();
    }
  });

  afterAll(async () => {
    await browser?.close();
    console.log(table.join("\n"));
  });

  const walks = fourJourneys.flatMap((journey) => ways.map((each) => ({ journey, ...each, name: journey.name })));

  it.each(walks)(
    "$name, $way: within the presses and seconds",
    async ({ journey, way, options, isByKeyboard, hasScript }) => {
      const folder = temporaryFolder();
      cpSync(studios.get(journey.known.join()) ?? "", folder, { recursive: true });
      const server = await serveApp(folder);
      const context = await browser.newContext({ ...options, locale: "en-US", timezoneId: "Europe/Amsterdam" });
      try {
        const page = await context.newPage();
        page.setDefaultTimeout(30_000);
        const walk = startWalk(page, { isByKeyboard, hasScript });
        await walk.begin(server.address);
        await journey.walk(walk, page);
        table.push(tallyLine(journey.name, way, walk.tally));
        expect(walk.tally.presses).toBeLessThanOrEqual(mostPresses);
        expect(machineAndReadingSeconds(walk.tally)).toBeLessThanOrEqual(mostSeconds);
      } finally {
        await context.close();
        await server.close();
      }
    },
  );
});
