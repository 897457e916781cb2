// Debian's chromium through playwright-core; where there is none the browser tests say so and rest.
import { existsSync } from "node:fs";
import { chromium, type Browser } from "playwright-core";

const places = [
  process.env.CHROMIUM ?? "",
  "/usr/bin/chromium",
  "/usr/bin/chromium-browser",
  "/usr/bin/google-chrome",
  "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
];

/**
 * Path of a Chromium on this machine; undefined when there is none. Never undefined in continuous integration, where it
 * must be there.
 */
export function chromiumPath(): string | undefined {
  const found = places.find((place) => place !== "" && existsSync(place));
  if (found === undefined && process.env.CI)
    throw new Error("The browser tests need chromium (apt-get install chromium), and none was found.");
  if (found === undefined)
    console.warn(
      "No chromium found: the browser tests are skipped. Install Debian's chromium or set CHROMIUM to its path.",
    );
  return found;
}

/**
 * Chromium's own pages behind the address bar: nobody types there, and they cost half a second of processor time for
 * each window that a test opens. Chromium heeds only the last such list, so it also holds what playwright switches off.
 */
const featuresOff = [
  ...["WebUIOmniboxPopup", "WebUIOmniboxAimPopup", "WebUIOmniboxFullPopup"],
  ...["AvoidUnnecessaryBeforeUnloadCheckSync", "DestroyProfileOnBrowserClose", "AvoidCorsURLLoaderRestartOnRedirect"],
  ...["HttpsUpgrades", "HttpsFirstBalancedModeAutoEnable", "ThirdPartyStoragePartitioning"],
  ...["LensOverlay", "MediaRouter", "PaintHolding", "AimEnabled"],
  ...["OptimizationHints", "NetworkTimeServiceQuerying", "PreconnectToSearch"],
];

/** Starts a headless Chromium that talks to nobody but the server under test. */
export function launchChromium(executablePath: string): Promise<Browser> {
  return chromium.launch({
    executablePath,
    args: [
      "--no-sandbox",
      "--disable-gpu",
      "--disable-quic",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
      `--disable-features=${featuresOff.join(",")}`,
    ],
  });
}
