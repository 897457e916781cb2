// Pictures of pages at phone and desktop width: node --import tsx tests/browser/screenshots.ts <address> <folder>
// [--theme=dark] <path> …
import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { chromiumPath, launchChromium } from "./chromium.ts";

const [address = "http://127.0.0.1:4870", folder = "screenshots", ...rest] = process.argv.slice(2);
const theme = rest.find((word) => word.startsWith("--theme="))?.slice("--theme=".length);
const script = !rest.includes("--no-script");
const paths = rest.filter((word) => !word.startsWith("--"));
const executablePath = chromiumPath();
if (executablePath === undefined) process.exit(1);
mkdirSync(folder, { recursive: true });
const browser = await launchChromium(executablePath);
try {
  for (const [device, size] of Object.entries({
    phone: { width: 390, height: 844 },
    desktop: { width: 1280, height: 900 },
  })) {
    const context = await browser.newContext({ viewport: size, deviceScaleFactor: 1, javaScriptEnabled: script });
    if (theme !== undefined) await context.addCookies([{ name: "theme", value: theme, url: address }]);
    const page = await context.newPage();
    page.on("console", (message) => {
      if (message.type() === "error" || message.type() === "warning")
        console.log(`${device} ${page.url()}: ${message.text()}`);
    });
    page.on("pageerror", (error) => console.log(`${device} ${page.url()}: ${error.message}`));
    // The stream of changes would keep the network from ever resting.
    await page.route("**/live*", (route) => route.fulfill({ status: 204 }));
    for (const path of paths.length > 0 ? paths : ["/"]) {
      await page.goto(address + path, { waitUntil: "networkidle" });
      // Pictures that load only when they come near the screen are made to load.
      await page.evaluate(
        "document.querySelectorAll('img[loading=lazy]').forEach((image) => { image.loading = 'eager'; })",
      );
      await page.waitForLoadState("networkidle");
      const overflow = await page.evaluate(
        "document.documentElement.scrollWidth - document.documentElement.clientWidth",
      );
      if (overflow !== 0) console.log(`${device} ${path}: ${String(overflow)} px too wide`);
      await page.screenshot({
        path: join(folder, `${(path === "/" ? "home" : path.slice(1)).replaceAll(/[^a-z0-9-]+/gi, "_")}-${device}.png`),
        fullPage: true,
      });
    }
    await context.close();
  }
} finally {
  await browser.close();
}
