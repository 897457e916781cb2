// Renews the pictures of the README and the docs from the samples: npm run screenshots (needs Chromium, and pdftoppm of
// poppler-utils for the lid card)
import { execFileSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Page } from "playwright-core";
import sharp from "sharp";
import { rootDir } from "#src/settings.ts";
import { chromiumPath, launchChromium } from "../tests/browser/chromium.ts";
import { serveApp } from "../tests/browser/serve.ts";

const folder = join(rootDir, "docs", "images");
const pictures = join(rootDir, "samples", "pictures");
const beds = join(rootDir, "samples", "beds");
const box = "sample-lamp-box-one";
const desk = { width: 1280, height: 800 };
/** Colours of a picture: pages have few, and a picture of so few is a third as large. */
const colours = 128;

interface Bed {
  readonly bedWidthMm: number;
  readonly bedHeightMm: number;
  readonly tablets: readonly {
    readonly leftMm: number;
    readonly backMm: number;
    readonly corners: readonly (readonly [number, number])[];
  }[];
}

async function keep(name: string, picture: Buffer): Promise<void> {
  const file = join(folder, `${name}.png`);
  writeFileSync(file, await sharp(picture).png({ palette: true, colours, effort: 10 }).toBuffer());
  console.log(`${name}.png, ${Math.round(statSync(file).size / 1024)} kB`);
}

async function settled(page: Page, address: string): Promise<void> {
  await page.goto(address, { waitUntil: "networkidle" });
  // Pictures that load only when they come near the screen are made to load.
  await page.evaluate(
    "document.querySelectorAll('img[loading=lazy]').forEach((image) => { image.loading = 'eager'; })",
  );
  await page.waitForLoadState("networkidle");
}

/** The bed of the samples, marked by the numbers beside its picture, as its map. */
async function drawMap(page: Page, address: string): Promise<void> {
  const bed = JSON.parse(readFileSync(join(beds, "five-tablets.truth.json"), "utf8")) as Bed;
  await page.goto(`${address}/studio/boxes/${box}`);
  await page.getByRole("link", { name: "From several tablets" }).click();
  await page.setInputFiles("#even-photo", join(beds, "five-tablets.jpg"));
  await page.fill("#even-count", String(bed.tablets.length));
  await page.fill("#even-width", String(bed.bedWidthMm));
  await page.fill("#even-height", String(bed.bedHeightMm));
  await page.getByRole("button", { name: "Go on to the tablets" }).click();
  await page.waitForSelector(".corner-handle");
  for (const [index, { leftMm, backMm, corners }] of bed.tablets.entries()) {
    await page.locator(`[data-row="tablets.${index}"] summary`).click();
    for (const [corner, point] of corners.entries())
      for (const [axis, value] of point.entries())
        await page.fill(`[name="tablets.${index}.corners.${corner}.${axis}"]`, value.toFixed(1));
    await page.locator(`[data-row="tablets.${index}"] summary`).click();
    await page.fill(`[name="tablets.${index}.leftMm"]`, String(leftMm));
    await page.fill(`[name="tablets.${index}.backMm"]`, String(backMm));
  }
  await page.getByRole("button", { name: "Draw the map" }).click();
  await page.waitForSelector(".evenness-map");
}

const executablePath = chromiumPath();
if (executablePath === undefined) process.exit(1);
mkdirSync(folder, { recursive: true });
const dataDir = mkdtempSync(join(tmpdir(), "wedgewright-pictures-"));
const server = await serveApp(dataDir);
const browser = await launchChromium(executablePath);
try {
  const { address } = server;
  await fetch(`${address}/api/samples`, { method: "POST" });
  const page = await browser.newPage({ viewport: desk, reducedMotion: "reduce" });
  // The stream of changes would keep the network from ever resting.
  await page.route("**/live*", (route) => route.fulfill({ status: 204 }));

  await settled(page, `${address}/tests/sample-test-scan-on-paper`);
  await keep("result", await page.screenshot());

  await page.getByRole("link", { name: "Print now" }).click();
  await page.getByLabel("Name").first().fill("Sea wall, second state");
  await page.getByRole("button", { name: /run sheet/i }).click();
  await page
    .getByRole("button", { name: /^Start/ })
    .first()
    .click();
  await page.waitForSelector(".timer");
  await keep("run-sheet", await page.screenshot());

  await settled(page, address);
  await keep("board", await page.screenshot());

  await settled(page, `${address}/negatives/new?testId=sample-test-grey-levels`);
  await page.setInputFiles("#photo", join(pictures, "cotton.jpg"));
  await page.waitForSelector("[data-preview]:not([hidden])");
  await page.waitForTimeout(1000);
  await keep("negative", await page.screenshot());

  await drawMap(page, address);
  await keep("evenness", await page.screenshot());
  await page.getByRole("button", { name: /^Keep with/ }).click();

  const card = Buffer.from(await (await fetch(`${address}/studio/boxes/${box}/card.pdf`)).arrayBuffer());
  const paper = join(dataDir, "card.pdf");
  writeFileSync(paper, card);
  execFileSync("pdftoppm", ["-png", "-r", "72", "-f", "1", "-l", "1", "-singlefile", paper, join(dataDir, "card")]);
  await keep("lid-card", readFileSync(join(dataDir, "card.png")));
} finally {
  await browser.close();
  await server.close();
  rmSync(dataDir, { recursive: true, force: true });
}
