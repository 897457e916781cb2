import { once } from "node:events";
import { createServer, get, type IncomingMessage, type Server } from "node:http";
import { connect, type AddressInfo } from "node:net";
import express from "express";
import { afterEach, describe, expect, it } from "vitest";
import { newsBoard, type NewsBoard } from "#src/store/news.ts";
import { liveHub, type Hub, type HubOptions } from "#src/web/live/hub.ts";
import { liveRoutes } from "#src/web/live/routes.ts";
import { noteSpeaker } from "#src/web/devices/speaker.ts";
import { answerProblem } from "#src/web/problem.ts";

interface Listening {
  readonly status: number | undefined;
  readonly headers: IncomingMessage["headers"];
  readonly text: () => string;
  readonly ended: Promise<unknown>;
  stop(): void;
}

const servers: Server[] = [];
afterEach(() => servers.splice(0).forEach((server) => (server.closeAllConnections(), server.close())));

async function serve(options?: HubOptions): Promise<{ board: NewsBoard; hub: Hub; port: number }> {
  const board = newsBoard();
  const hub = liveHub(board, options);
  const app = express();
  app.use((request, _response, next) => {
    const device = { name: "Phone", role: "reader", createdAt: "", lastSeenAt: "" } as const;
    const id = request.get("device");
    noteSpeaker(request, id === undefined ? { kind: "desk" } : { kind: "device", device: { ...device, id } });
    next();
  });
  app.use(liveRoutes(hub));
  app.use(answerProblem);
  const server = createServer(app).listen(0, "127.0.0.1");
  servers.push(server);
  await once(server, "listening");
  return { board, hub, port: (server.address() as AddressInfo).port };
}

async function listenTo(port: number, headers: Record<string, string> = {}, query = ""): Promise<Listening> {
  const request = get({ host: "127.0.0.1", port, path: `/live${query}`, headers, agent: false });
  const [response] = (await once(request, "response")) as [IncomingMessage];
  let text = "";
  response.setEncoding("utf8").on("data", (chunk: string) => (text += chunk));
  response.on("error", () => {});
  return {
    status: response.statusCode,
    headers: response.headers,
    text: () => text,
    ended: new Promise((resolve) => response.once("close", resolve)),
    stop: () => request.destroy(),
  };
}

const settled = (): Promise<void> => new Promise((resolve) => setTimeout(resolve, 60));
const lastIdIn = (text: string): string => [...text.matchAll(/^id: (.+)$/gm)].at(-1)?.[1] ?? "";

describe("a stream of changes", () => {
  it("tells what is changed while it is open, as server-sent events", async () => {
    const { board, port } = await serve();
    const page = await listenTo(port);
    expect(page.status).toBe(200);
    expect(page.headers["content-type"]).toBe("text/event-stream; charset=utf-8");
    expect(page.headers["cache-control"]).toBe("no-store");
    board.tell({ kind: "tests", id: "abc", what: "saved" });
    await settled();
    expect(page.text()).toMatch(/^retry: \d+\nid: \S+-0\nevent: ready\ndata: \{\}\n\n/);
    expect(page.text()).toContain('data: {"kind":"tests","id":"abc","what":"saved"}\n\n');
  });

  it("gives what was missed to a page that comes back, by header or by address", async () => {
    const { board, port } = await serve();
    const page = await listenTo(port);
    board.tell({ kind: "tests", id: "first", what: "saved" });
    await settled();
    page.stop();
    board.tell({ kind: "prints", id: "second", what: "saved" });
    const last = lastIdIn(page.text());
    const byHeader = await listenTo(port, { "Last-Event-ID": last });
    const byAddress = await listenTo(port, {}, `?since=${last}`);
    await settled();
    for (const again of [byHeader, byAddress]) {
      expect(again.text()).toContain('"id":"second"');
      expect(again.text()).not.toContain('"id":"first"');
    }
  });

  it.each(["of another run", "of nonsense", "too old"])("tells everything to a page with a number %s", async (kind) => {
    const { board, port } = await serve();
    const page = await listenTo(port);
    await settled();
    for (let number = 0; number < 600; number++) board.tell({ kind: "tests", id: String(number), what: "saved" });
    const since = { "of another run": "AAAAAAAA-3", "of nonsense": "%0a%0adata:x", "too old": lastIdIn(page.text()) };
    const again = await listenTo(port, {}, `?since=${since[kind as keyof typeof since].replace(/-600$/, "-1")}`);
    await settled();
    expect(again.text()).toContain('"kind":"everything"');
    expect(again.text()).not.toContain("data:x");
  });

  it("sends a heartbeat", async () => {
    const { port } = await serve({ heartbeatMs: 20 });
    const page = await listenTo(port);
    await settled();
    expect(page.text()).toContain(": here\n\n");
  });

  it("ends when the store ends", async () => {
    const { board, hub, port } = await serve();
    const page = await listenTo(port);
    board.end();
    await page.ended;
    expect(hub.size).toBe(0);
  });

  it("ends for a device that is shut out, and tells of devices at the desk alone", async () => {
    const { board, hub, port } = await serve();
    const desk = await listenTo(port);
    const [staying, leaving] = [
      await listenTo(port, { device: "staying" }),
      await listenTo(port, { device: "leaving" }),
    ];
    board.tell({ kind: "devices", id: "leaving", what: "removed" });
    await leaving.ended;
    expect(hub.size).toBe(2);
    const back = await listenTo(port, { device: "staying", "Last-Event-ID": lastIdIn(staying.text()) });
    await settled();
    expect(desk.text()).toContain('"kind":"devices"');
    for (const phone of [staying, leaving, back]) expect(phone.text()).not.toContain("devices");
  });
});

describe("streams are bounded", () => {
  it("in number for one listener: the next is told to come again", async () => {
    const { hub, port } = await serve({ mostForOne: 3 });
    const pages = [await listenTo(port), await listenTo(port), await listenTo(port)];
    const fourth = await listenTo(port);
    expect(fourth.status).toBe(503);
    expect(fourth.headers["retry-after"]).toBeDefined();
    pages[0]?.stop();
    await settled();
    expect(hub.size).toBe(2);
    expect((await listenTo(port)).status).toBe(200);
  });

  it("in number for all", async () => {
    const { port } = await serve({ most: 1 });
    expect((await listenTo(port)).status).toBe(200);
    expect((await listenTo(port)).status).toBe(503);
  });

  it("in what waits for one that takes nothing: it is let go", async () => {
    const { board, hub, port } = await serve();
    const asleep = connect(port, "127.0.0.1");
    asleep.pause();
    asleep.on("error", () => {});
    asleep.write("GET /live HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n");
    await settled();
    expect(hub.size).toBe(1);
    const id = "x".repeat(60_000);
    for (let times = 0; times < 200; times++) {
      board.tell({ kind: "tests", id, what: "saved" });
      await new Promise((resolve) => setImmediate(resolve));
    }
    await settled();
    expect(hub.size).toBe(0);
    asleep.destroy();
  });

  it("and a thousand that come and go leave nothing behind", async () => {
    const { board, hub, port } = await serve();
    for (let round = 0; round < 50; round++) {
      const pages = await Promise.all(Array.from({ length: 20 }, () => listenTo(port)));
      board.tell({ kind: "tests", id: String(round), what: "saved" });
      for (const page of pages) page.stop();
      await Promise.all(pages.map((page) => page.ended));
      await settled();
      expect(hub.size).toBe(0);
    }
  }, 30_000);
});
