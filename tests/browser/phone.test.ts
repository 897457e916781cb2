// A phone comes into the studio: with the code from the desk's screen, and with nothing else.
import { readFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { join } from "node:path";
import sharp from "sharp";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { Browser, BrowserContext, Page } from "playwright-core";
import { findCodes } from "#src/imaging/matrix-code.ts";
import { rootDir } from "#src/settings.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";
import { chromiumPath, launchChromium } from "./chromium.ts";
import { serveApp, type TestServer } from "./serve.ts";

const executablePath = chromiumPath();
const axeFile = createRequire(import.meta.url).resolve("axe-core/axe.min.js");

describe.skipIf(executablePath === undefined)("a phone in the studio", () => {
  let server: TestServer;
  let browser: Browser;
  let desk: Page;
  let phone: Page;
  let phoneContext: BrowserContext;

  beforeAll(async () => {
    server = await serveApp(temporaryFolder());
    browser = await launchChromium(executablePath!);
    desk = await (await browser.newContext({ bypassCSP: true })).newPage();
    phoneContext = await browser.newContext({ viewport: { width: 390, height: 844 }, bypassCSP: true });
    phone = await phoneContext.newPage();
  });
  afterAll(async () => {
    await browser?.close();
    await server?.close();
  });

  /** The address in the square on the desk's screen, read from a picture of that screen as a phone's camera does. */
  async function addressInSquare(): Promise<string> {
    const picture = await desk.locator(".square-code").first().screenshot();
    const { data, info } = await sharp(picture).greyscale().raw().toBuffer({ resolveWithObject: true });
    return (await findCodes(data, info.width, info.height))[0]?.text ?? "no code";
  }

  async function axeFindings(page: Page): Promise<string[]> {
    await page.addScriptTag({ path: axeFile });
    return (await page.evaluate(
      "axe.run(document).then((result) => result.violations.map((each) => each.id + ': ' + each.nodes[0].html))",
    )) as string[];
  }

  it("that nobody let in sees one page, without script, wherever it goes", async () => {
    for (const path of ["/", "/tests", "/studio/devices"]) {
      const answer = await phone.goto(server.networkAddress + path);
      expect(answer?.status()).toBe(401);
      await phone.getByRole("heading", { name: "Ask at the desk" }).waitFor();
      expect(await phone.locator("script, nav, img").count()).toBe(0);
    }
    expect(await phone.evaluate("document.documentElement.scrollWidth")).toBe(390);
    expect(await axeFindings(phone)).toEqual([]);
  });

  it("comes in by the square on the desk's screen, and the desk sees it come", async () => {
    await desk.goto(`${server.address}/studio/devices`);
    await desk.getByLabel("Keeper:").check();
    await desk.getByRole("button", { name: "Make a code" }).click();
    await desk.locator(".entry-code").waitFor();
    expect(await axeFindings(desk)).toEqual([]);
    const link = await addressInSquare();
    expect(link.startsWith(`${server.networkAddress}/enter?code=`)).toBe(true);
    await phone.goto(link);
    await phone.getByLabel("Name of this device").fill("Anna's phone");
    await phone.getByRole("button", { name: "Come in" }).click();
    await phone.waitForURL(`${server.networkAddress}/`);
    await desk.getByRole("heading", { name: "Anna's phone" }).waitFor({ timeout: 3000 });
    expect(await phone.evaluate("document.cookie")).not.toContain("wedgewright-device");
    const [cookie] = await phoneContext.cookies();
    expect(cookie).toMatchObject({ name: "wedgewright-device", httpOnly: true, sameSite: "Strict" });
  });

  it("takes a picture that appears on the desk at once, without a reload", async () => {
    await phone.request.post(`${server.networkAddress}/api/samples`);
    await desk.goto(`${server.address}/tests`);
    await desk.evaluate("window.sameDocument = true");
    const studio = JSON.parse(await readFile(join(rootDir, "samples", "studio.json"), "utf8")) as {
      tests: { key: string; [field: string]: unknown }[];
    };
    const { key, tablet, lampId, supportId, coatingId, filmId } = studio.tests.find(
      ({ key }) => key === "scan-on-paper",
    )!;
    const truth = JSON.parse(await readFile(join(rootDir, "samples", "pictures", `${key}.truth.json`), "utf8")) as {
      corners: unknown;
    };
    const saved = await phone.request.post(`${server.networkAddress}/api/tests`, {
      multipart: {
        photo: {
          name: "photo.jpg",
          mimeType: "image/jpeg",
          buffer: await readFile(join(rootDir, "samples", "pictures", `${key}.jpg`)),
        },
        request: JSON.stringify({
          tablet,
          lampId,
          supportId,
          coatingId,
          filmId,
          corners: truth.corners,
          exposureSeconds: 480,
          name: "Just taken",
        }),
      },
    });
    expect(saved.status()).toBe(201);
    const { id } = (await saved.json()) as { id: string };
    await desk.locator(`a[href="/tests/${id}"]`).first().waitFor({ timeout: 5000 });
    expect(await desk.evaluate("window.sameDocument")).toBe(true);
  });

  it("that is known opens a box by the code on its lid; one that is not comes there after entering", async () => {
    const box = `/studio/boxes/${server.store.lamps.list()[0]?.id}`;
    expect((await phone.goto(server.networkAddress + box))?.status()).toBe(200);
    const other = await (await browser.newContext()).newPage();
    await other.goto(server.networkAddress + box);
    await desk.goto(`${server.address}/studio/devices`);
    await desk.getByRole("button", { name: "Make a code" }).click();
    const code = (await desk.locator(".entry-code").textContent()) ?? "";
    await other.getByLabel("Code from the desk").fill(code.toLowerCase());
    await other.getByLabel("Name of this device").fill("Second phone");
    await other.keyboard.press("Enter");
    // The address was this one before, with the entry page under it.
    await other.getByText("Second phone, reader").waitFor();
    expect(other.url()).toBe(server.networkAddress + box);
    await other.context().close();
  });

  it("that is shut out at the desk is a stranger from its next press", async () => {
    await phone.goto(`${server.networkAddress}/prints`);
    await desk.goto(`${server.address}/studio/devices`);
    desk.on("dialog", (dialog) => void dialog.accept());
    await desk.getByRole("button", { name: /Shut out.*Anna/ }).click();
    await desk.getByRole("heading", { name: "Anna's phone" }).waitFor({ state: "detached" });
    expect((await phone.reload())?.status()).toBe(401);
    await phone.getByRole("heading", { name: "Ask at the desk" }).waitFor();
  });

  it("comes in without script too", async () => {
    const context = await browser.newContext({ javaScriptEnabled: false, viewport: { width: 390, height: 844 } });
    const plain = await context.newPage();
    const plainDesk = await (await browser.newContext({ javaScriptEnabled: false })).newPage();
    await plainDesk.goto(`${server.address}/studio/devices`);
    await plainDesk.getByRole("button", { name: "Make a code" }).click();
    const code = (await plainDesk.locator(".entry-code").textContent()) ?? "";
    await plain.goto(`${server.networkAddress}/enter?code=${code.replace("-", "")}`);
    await plain.getByLabel("Name of this device").fill("Plain phone");
    await plain.getByRole("button", { name: "Come in" }).click();
    await plain.getByText("Plain phone, reader").waitFor();
    await plain.getByRole("button", { name: /^Leave/ }).click();
    await plain.getByRole("heading", { name: "Ask at the desk" }).waitFor();
    await context.close();
  });
});
