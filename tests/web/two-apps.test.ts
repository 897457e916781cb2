// Two apps in one process, as two studios behind one front, share neither what arrives nor what is kept.
import request from "supertest";
import { once } from "node:events";
import { connect, type AddressInfo } from "node:net";
import { createServer } from "node:http";
import type { Express } from "express";
import { describe, expect, it } from "vitest";
import { createApp } from "#src/app.ts";
import { readSettings } from "#src/settings.ts";
import { openStore, type Store } from "#src/store/store.ts";
import { fakeImaging } from "../support/fake-imaging.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";

function studio(): { app: Express; store: Store } {
  const dataDir = temporaryFolder();
  const store = openStore(dataDir);
  const settings = { ...readSettings({}), dataDir };
  return { app: createApp({ settings, store, imaging: fakeImaging() }), store };
}

/** A picture for a negative that never arrives whole. */
async function unfinished(port: number): Promise<{ end(): void }> {
  const socket = connect(port, "127.0.0.1");
  socket.on("error", () => undefined);
  await once(socket, "connect");
  socket.write(
    `POST /api/negatives HTTP/1.1\r\nHost: 127.0.0.1:${port}\r\nContent-Length: 100000\r\n` +
      "Content-Type: multipart/form-data; boundary=xyz\r\n\r\n" +
      '--xyz\r\nContent-Disposition: form-data; name="photo"; filename="a.png"\r\n\r\nabc',
  );
  return { end: () => socket.destroy() };
}

describe("two apps in one process", () => {
  it("when every place of one is taken by pictures that arrive, leave the other's free", async () => {
    const [full, free] = [studio(), studio()];
    const server = createServer(full.app).listen(0, "127.0.0.1");
    await once(server, "listening");
    const { port } = server.address() as AddressInfo;
    const senders = await Promise.all(Array.from({ length: 6 }, () => unfinished(port)));
    // Asked of the app itself: a request that comes before the last of them would take its place.
    await expect.poll(() => full.app.locals.uploadRoom?.onDisk.now("").total, { timeout: 30_000 }).toBe(6);
    const send = (app: Express) =>
      request(app).post("/api/negatives").attach("photo", Buffer.from("abc"), "a.png").field("request", "{}");
    expect((await send(full.app)).status).toBe(503);
    expect((await send(free.app)).status).not.toBe(503);
    for (const sender of senders) sender.end();
    await expect.poll(async () => (await send(full.app)).status, { timeout: 60_000 }).not.toBe(503);
    server.closeAllConnections();
    server.close();
  }, 120_000);

  it("count what each holds in memory apart", () => {
    const [one, other] = [studio(), studio()];
    one.app.locals.uploadRoom?.heldBytes.add("10.0.0.7", 5);
    expect(one.app.locals.uploadRoom?.heldBytes.now("10.0.0.7")).toEqual({ total: 5, ofAddress: 5 });
    expect(other.app.locals.uploadRoom?.heldBytes.now("10.0.0.7")).toEqual({ total: 0, ofAddress: 0 });
  });

  it("keep small pictures apart, and each sweeps its own folder alone", async () => {
    const [one, other] = [studio(), studio()];
    await one.store.previews.write("a-picture", 320, Buffer.from("small"));
    expect(await one.store.previews.read("a-picture", 320)).toEqual(Buffer.from("small"));
    expect(await other.store.previews.read("a-picture", 320)).toBeUndefined();
  });
});
