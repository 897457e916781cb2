// Timers of run sheets in a real browser: the chime sounds, the screen is kept on, a reload loses nothing.
import { afterAll, beforeAll, beforeEach, describe, expect, it } from "vitest";
import type { Browser, BrowserContext, Page } from "playwright-core";
import { saveSampleMaterials } from "../support/studios/sample-records.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";
import { chromiumPath, launchChromium } from "./chromium.ts";
import { serveApp, type TestServer } from "./serve.ts";

const executablePath = chromiumPath();
/** A machine in the studio's network, over plain http: no secure page, so browsers give it no lock on the screen. */
const lanAddress = "http://studio.example";

/**
 * Watches from inside the page what reaches the loudspeaker, the vibrator and the screen lock; the real ones still act.
 */
const watch = `
  window.seen = { peak: 0, states: [], vibrated: [], locks: 0, releases: 0 };
  const connect = AudioNode.prototype.connect;
  AudioNode.prototype.connect = function (to, ...rest) {
    const answer = connect.call(this, to, ...rest);
    if (to instanceof AudioDestinationNode) {
      const ear = this.context.createAnalyser();
      connect.call(this, ear);
      window.seen.states.push(this.context.state);
      const heard = new Float32Array(ear.fftSize);
      const timer = setInterval(() => {
        ear.getFloatTimeDomainData(heard);
        for (const value of heard) window.seen.peak = Math.max(window.seen.peak, Math.abs(value));
      }, 20);
      setTimeout(() => clearInterval(timer), 3000);
    }
    return answer;
  };
  navigator.vibrate = (pattern) => { window.seen.vibrated.push(pattern); return true; };
  if (navigator.wakeLock) {
    const ask = navigator.wakeLock.request.bind(navigator.wakeLock);
    navigator.wakeLock.request = async (kind) => {
      window.seen.locks += 1;
      window.seen.lock = await ask(kind);
      return window.seen.lock;
    };
  }
  window.turnAway = async (state) => {
    Object.defineProperty(document, "visibilityState", { configurable: true, get: () => state });
    // A browser takes the lock away from a hidden page.
    if (state === "hidden") await window.seen.lock?.release();
    document.dispatchEvent(new Event("visibilitychange"));
  };
`;

interface Seen {
  readonly peak: number;
  readonly states: readonly string[];
  readonly vibrated: readonly unknown[];
  readonly locks: number;
}

describe.skipIf(executablePath === undefined)("the timers of a run sheet", { timeout: 60_000 }, () => {
  let server: TestServer;
  let browser: Browser;
  let context: BrowserContext;
  let page: Page;
  let materials: { lampId: string; supportId: string; coatingId: string };

  beforeAll(async () => {
    server = await serveApp(temporaryFolder());
    materials = saveSampleMaterials(server.store);
    browser = await launchChromium(executablePath ?? "");
  }, 60_000);

  beforeEach(async () => {
    await context?.close();
    context = await browser.newContext({ bypassCSP: true, viewport: { width: 390, height: 844 } });
    await context.addInitScript(watch);
    await context.route(`${lanAddress}/**`, async (route) => {
      const sent = route.request();
      // The server is told its own origin, as on such a network the page and the server are one site.
      const headers = { ...sent.headers(), ...(sent.method() === "POST" ? { origin: server.address } : {}) };
      await route.fulfill({
        response: await route.fetch({ url: sent.url().replace(lanAddress, server.address), headers }),
      });
    });
    // A stream that never ends cannot be carried over in this way.
    await context.route("**/live*", (route) => route.fulfill({ status: 204 }));
    page = await context.newPage();
  });

  afterAll(async () => {
    await browser?.close();
    await server?.close();
  });

  async function beginPrint(name: string, seconds: number): Promise<string> {
    const steps = [
      { name: "First bath", seconds, note: "" },
      { name: "Second bath", seconds: 300, note: "" },
    ];
    const response = await fetch(`${server.address}/api/prints`, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({
        lampId: materials.lampId,
        supportId: materials.supportId,
        coatingId: materials.coatingId,
        name,
        exposureSeconds: 60,
        steps,
      }),
    });
    return ((await response.json()) as { id: string }).id;
  }
  const seen = async (): Promise<Seen> => (await page.evaluate("({ ...window.seen, lock: null })")) as Seen;
  const timeIsUp = (): Promise<unknown> =>
    page.waitForFunction("document.title.startsWith('Time is up')", undefined, { timeout: 20_000 });
  const isShown = (part: string): Promise<boolean> => page.locator(`[data-attention-${part}]`).isVisible();

  it("when started by a press, chimes at the end, shakes, and says so in title, words and colour", async () => {
    const id = await beginPrint("Apron", 3);
    await page.goto(`${server.address}/prints/${id}`);
    await page.fill("#print-notes", "half written");
    await page.getByRole("button", { name: "Start First bath" }).click();
    await page.waitForSelector(".timer");
    expect(await isShown("sound")).toBe(false);
    expect((await seen()).peak).toBe(0);
    await timeIsUp();
    await page.waitForTimeout(700);
    const { peak, states, vibrated } = await seen();
    expect(states).toEqual(["running", "running", "running"]);
    expect(peak).toBeGreaterThan(0.1);
    expect(vibrated).toHaveLength(1);
    expect(await page.title()).toContain("Time is up: First bath, Apron");
    expect(await page.locator("[data-timer-status]").innerText()).toContain("Time is up: First bath, Apron");
    expect(await page.locator(".timer.over").count()).toBe(1);
    // The answer to the press was shown in place, so what was being written is still there.
    expect(await page.inputValue("#print-notes")).toBe("half written");
    expect(server.store.prints.get(id).steps[0]?.startedAt).not.toBeNull();
  });

  it("when the page is loaded anew in the middle of a bath, goes on counting, and sounds after a touch", async () => {
    const id = await beginPrint("Curtain", 6);
    await page.goto(`${server.address}/prints/${id}`);
    await page.getByRole("button", { name: "Start First bath" }).click();
    await page.waitForSelector(".timer");
    await page.waitForTimeout(1500);
    await page.reload();
    expect(await page.locator("[data-timer-word]").innerText()).toBe("still");
    const left = await page.locator("[data-timer-time]").innerText();
    expect(["2 s", "3 s", "4 s", "5 s"]).toContain(left);
    if (await isShown("sound")) await page.getByRole("button", { name: "Let it chime" }).click();
    await page.waitForFunction("document.querySelector('[data-attention-sound]').hidden");
    await timeIsUp();
    await page.waitForTimeout(700);
    expect((await seen()).peak).toBeGreaterThan(0.1);
  });

  it("when several prints are in work, each one's end is called by its own name", async () => {
    const [first, second] = [await beginPrint("Blue leaf", 3), await beginPrint("Blue lace", 6)];
    await page.goto(`${server.address}/prints`);
    await page.getByRole("button", { name: "Start First bath of Blue leaf" }).click();
    await page.waitForSelector('[data-print-name="Blue leaf"] .timer');
    await page.getByRole("button", { name: "Start First bath of Blue lace" }).click();
    await page.waitForSelector('[data-print-name="Blue lace"] .timer');
    const status = page.locator("[data-timer-status]");
    await status.filter({ hasText: "First bath, Blue leaf" }).waitFor({ state: "attached", timeout: 15_000 });
    await status.filter({ hasText: "First bath, Blue lace" }).waitFor({ state: "attached", timeout: 15_000 });
    expect((await seen()).vibrated).toHaveLength(2);
    for (const id of [first, second]) expect(server.store.prints.get(id).steps[0]?.endedAt).toBeNull();
    await page.getByRole("button", { name: /Done ?: First bath of Blue leaf/ }).click();
    await page.getByRole("button", { name: "Start Second bath of Blue leaf" }).waitFor();
    expect(server.store.prints.get(first).steps[0]?.endedAt).not.toBeNull();
  });

  it("when a step ends just before another print's press, still calls its end", async () => {
    await beginPrint("Short", 2);
    await beginPrint("Later", 60);
    // No tick comes by itself, so that the press is the first to see that the time is up.
    await page.addInitScript("window.setInterval = () => 0;");
    await page.goto(`${server.address}/prints`);
    await page.getByRole("button", { name: "Start First bath of Short" }).click();
    await page.waitForSelector('[data-print-name="Short"] .timer');
    await page.waitForTimeout(2500);
    expect((await seen()).vibrated).toHaveLength(0);
    await page.getByRole("button", { name: "Start First bath of Later" }).click();
    await page.waitForSelector('[data-print-name="Later"] .timer');
    expect((await seen()).vibrated).toHaveLength(1);
    expect(await page.locator("[data-timer-status]").innerText()).toContain("Time is up: First bath, Short");
  });

  it("when the answer to a press shows no run sheet, loads the page anew and presses nothing twice", async () => {
    const id = await beginPrint("Once", 60);
    let presses = 0;
    await page.route("**/steps/0/start", async (route) => {
      presses += 1;
      await route.fetch();
      await route.fulfill({ status: 200, contentType: "text/html", body: "<title>Cut off</title>" });
    });
    await page.goto(`${server.address}/prints/${id}`);
    await page.getByRole("button", { name: "Start First bath" }).click();
    await page.waitForSelector(".timer");
    expect(presses).toBe(1);
    expect(await page.title()).toContain("Once");
    expect(server.store.prints.get(id).steps[0]).toMatchObject({ startedAt: expect.any(String), endedAt: null });
  });

  it("keeps the screen on while a step runs, asks again as the page comes back, and not before or after", async () => {
    const id = await beginPrint("Sleeper", 60);
    await page.goto(`${server.address}/prints/${id}`);
    expect((await seen()).locks).toBe(0);
    await page.getByRole("button", { name: "Start First bath" }).click();
    await page.waitForSelector("[data-attention-awake]:not([hidden])");
    expect((await seen()).locks).toBe(1);
    expect(await page.evaluate("window.seen.lock.released")).toBe(false);
    await page.evaluate("window.turnAway('hidden')");
    expect((await seen()).locks).toBe(1);
    await page.evaluate("window.turnAway('visible')");
    await page.waitForFunction("window.seen.locks === 2 && !window.seen.lock.released");
    expect(await isShown("sleep")).toBe(false);
    await page.getByRole("button", { name: /Done ?: First bath/ }).click();
    await page.getByRole("button", { name: "End it now" }).click();
    await page.waitForFunction("window.seen.lock.released");
    expect(await isShown("awake")).toBe(false);
  });

  it("over plain http in the local network, says that the device may fall asleep and what to do", async () => {
    const id = await beginPrint("Lan", 60);
    await page.goto(`${lanAddress}/prints/${id}`);
    expect(await page.evaluate("'wakeLock' in navigator")).toBe(false);
    expect(await isShown("sleep")).toBe(false);
    await page.getByRole("button", { name: "Start First bath" }).click();
    await page.waitForSelector("[data-attention-sleep]:not([hidden])");
    expect(await page.locator("[data-attention-sleep]").innerText()).toMatch(
      /may fall asleep[\s\S]*own settings, or set its alarm/,
    );
    expect(await page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")).toBe(0);
  });

  it("when the device's clock is ten minutes off, counts by the server's", async () => {
    const id = await beginPrint("Off", 120);
    await page.clock.install({ time: Date.now() + 600_000 });
    await page.goto(`${server.address}/prints/${id}`);
    await page.getByRole("button", { name: "Start First bath" }).click();
    await page.waitForSelector(".timer");
    await page.clock.runFor(2000);
    await page.waitForFunction("/^1:5/.test(document.querySelector('[data-timer-time]').textContent)");
    expect(await page.locator(".timer.over").count()).toBe(0);
  });
});
