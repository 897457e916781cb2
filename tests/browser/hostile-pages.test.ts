// Pages that mean harm, in a real browser: on another origin, another port, under a bent name, in a sandboxed frame.
// None reads anything and none changes anything.
import { createServer, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import { chromium, type Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { saveSampleMaterials } from "../support/studios/sample-records.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";
import { chromiumPath } from "./chromium.ts";
import { serveApp, type TestServer } from "./serve.ts";

const executablePath = chromiumPath();

/** Run in the page: JSON, plain text, beacon, plain form fields, and a form in a frame, plain and sandboxed. */
const hostileWrites = `async (studioAddress) => {
  const fields = () => new URLSearchParams({ name: "hostile" });
  for (const [type, mode] of [["application/json", "cors"], ["text/plain", "no-cors"]])
    await fetch(studioAddress + "/api/lamps", {
      method: "POST", mode, headers: { "Content-Type": type }, body: JSON.stringify({ name: "hostile" }),
    }).catch(() => undefined);
  navigator.sendBeacon(studioAddress + "/studio/boxes", fields());
  const post = { method: "POST", mode: "no-cors", body: fields() };
  await fetch(studioAddress + "/studio/boxes", post).catch(() => undefined);
  for (const sandbox of [null, "allow-scripts allow-forms"]) {
    const frame = document.createElement("iframe");
    if (sandbox !== null) frame.setAttribute("sandbox", sandbox);
    frame.srcdoc = '<form method="post" action="' + studioAddress + '/studio/boxes">' +
      '<input name="name" value="hostile"></form>' +
      "<script>document.forms[0].submit()</" + "script>";
    document.body.append(frame);
  }
  await new Promise((resolve) => setTimeout(resolve, 700));
}`;

/** Run in the page: a form that leaves the page itself. */
const hostileForm = `(studioAddress) => {
  document.body.innerHTML =
    '<form method="post" action="' + studioAddress + '/studio/boxes"><input name="name" value="hostile"></form>';
  document.forms[0].submit();
}`;

describe.skipIf(executablePath === undefined)("a hostile page", () => {
  let browser: Browser;
  let studio: TestServer;
  let hostile: Server;
  let port = 0;
  let hostilePort = 0;
  const lampName = "Box of the studio";

  beforeAll(async () => {
    studio = await serveApp(temporaryFolder());
    const { lampId } = saveSampleMaterials(studio.store);
    studio.store.lamps.replace(lampId, { ...studio.store.lamps.get(lampId), name: lampName });
    port = Number(new URL(studio.address).port);
    hostile = createServer((request, response) => {
      const hides = request.url?.includes("hide") === true;
      response.setHeader("Content-Type", "text/html");
      response.end(
        `<!doctype html>${hides ? '<meta name="referrer" content="no-referrer">' : ""}<title>hostile</title>`,
      );
    });
    await new Promise<void>((resolve) => hostile.listen(0, "127.0.0.1", resolve));
    hostilePort = (hostile.address() as AddressInfo).port;
    // Names that an attacker's name server would answer with this machine's address.
    browser = await chromium.launch({
      executablePath: executablePath!,
      args: [
        "--no-sandbox",
        "--disable-gpu",
        "--disable-background-networking",
        "--host-resolver-rules=MAP evil.test 127.0.0.1, MAP rebind.test 127.0.0.1, MAP studio.lan 127.0.0.1",
        "--disable-features=LocalNetworkAccessChecks,BlockInsecurePrivateNetworkRequests",
      ],
    });
  });
  afterAll(async () => {
    await browser?.close();
    hostile?.close();
    await studio?.close();
  });

  /** Where the page stands, and under which name it speaks to the studio. */
  const stands = [
    ["on another site, to the number", "http://evil.test:HOSTILE/", "http://127.0.0.1:PORT"],
    ["on another site, to localhost", "http://evil.test:HOSTILE/", "http://localhost:PORT"],
    ["on another site, to a name in the network", "http://evil.test:HOSTILE/", "http://studio.lan:PORT"],
    ["that hides where it stands", "http://evil.test:HOSTILE/hide", "http://127.0.0.1:PORT"],
    ["that hides where it stands, to a name in the network", "http://evil.test:HOSTILE/hide", "http://studio.lan:PORT"],
    ["on another port of the same number", "http://127.0.0.1:HOSTILE/", "http://127.0.0.1:PORT"],
    ["on another port of localhost", "http://localhost:HOSTILE/", "http://localhost:PORT"],
  ] as const;
  const fill = (address: string): string =>
    address.replace("HOSTILE", String(hostilePort)).replace("PORT", String(port));

  it.each(stands)(
    "%s reads nothing and changes nothing, by thirteen ways",
    { timeout: 60_000 },
    async (_case, from, to) => {
      const context = await browser.newContext();
      const page = await context.newPage();
      await page.goto(fill(from));
      const target = fill(to);
      const read = await page.evaluate(async (studioAddress) => {
        const texts: string[] = [];
        for (const path of ["/api/lamps", "/api/backup", "/"])
          for (const mode of ["cors", "no-cors"] as const)
            texts.push(
              await fetch(studioAddress + path, { mode })
                .then((answer) => answer.text())
                .catch(() => ""),
            );
        return texts;
      }, target);
      expect(read.join("")).not.toContain(lampName);
      const before = studio.store.lamps.list().length;
      await page.evaluate(`(${hostileWrites})(${JSON.stringify(target)})`);
      expect(studio.store.lamps.list().length).toBe(before);
      await page.evaluate(`(${hostileForm})(${JSON.stringify(target)})`);
      await page.waitForTimeout(500);
      expect(studio.store.lamps.list().length).toBe(before);
      await context.close();
    },
  );

  it("under a bent name, which the browser takes for the page's own, reads nothing and changes nothing", async () => {
    const context = await browser.newContext();
    const page = await context.newPage();
    const answer = await page.goto(`http://rebind.test:${port}/`);
    expect(answer?.status()).toBe(403);
    const before = studio.store.lamps.list().length;
    const texts = await page.evaluate(async () => {
      const post = await fetch("/api/lamps", {
        method: "POST",
        headers: { "Content-Type": "application/json" },
        body: JSON.stringify({ name: "hostile" }),
      });
      const lamps = await fetch("/api/lamps");
      return `${post.status} ${lamps.status} ${await lamps.text()}`;
    });
    expect(texts).toMatch(/^403 403 /);
    expect(texts).not.toContain(lampName);
    expect(studio.store.lamps.list().length).toBe(before);
    await context.close();
  });

  it("while the studio's own pages go on working in the same browser", async () => {
    const context = await browser.newContext();
    const page = await context.newPage();
    for (const host of ["127.0.0.1", "localhost"]) {
      await page.goto(`http://${host}:${port}/studio`);
      await page.fill("#box-name", `Own box under ${host}`);
      await page.click('form[action="/studio/boxes"] button[type=submit]');
      await page.waitForURL(/studio\/boxes\//);
    }
    expect(studio.store.lamps.list().filter(({ name }) => name.startsWith("Own box"))).toHaveLength(2);
    await context.close();
  });
});
