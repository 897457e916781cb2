// Downloads of everything that are not read on hold a copy of the database each: a few at once, and no more.
import { randomBytes } from "node:crypto";
import { createServer, get, type IncomingMessage } from "node:http";
import type { AddressInfo } from "node:net";
import { expect, it } from "vitest";
import { savePicture } from "../support/studios/sample-records.ts";
import { testApp } from "../support/test-app.ts";

it("a fifth backup while four are not read on waits its turn, and gets one when they are gone", async () => {
  const { app, store } = testApp();
  // More than the connection itself can hold.
  await savePicture(store, randomBytes(24_000_000).toString("base64"));
  const server = createServer(app);
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  const ask = (): Promise<IncomingMessage> =>
    new Promise((resolve, reject) => {
      const { port } = server.address() as AddressInfo;
      get({ port, host: "127.0.0.1", path: "/api/backup", agent: false }, resolve).on("error", reject);
    });
  const held = [await ask(), await ask(), await ask(), await ask()];
  expect(held.map(({ statusCode }) => statusCode)).toEqual([200, 200, 200, 200]);
  const fifth = await ask();
  expect(fifth.statusCode).toBe(503);
  expect(Number(fifth.headers["retry-after"])).toBeGreaterThan(0);
  fifth.destroy();
  for (const each of held) each.destroy();
  let status: number | undefined;
  for (let tries = 0; tries < 100 && status !== 200; tries++) {
    await new Promise((resolve) => setTimeout(resolve, 50));
    const next = await ask();
    status = next.statusCode;
    next.destroy();
  }
  expect(status).toBe(200);
  server.closeAllConnections();
  await new Promise((resolve) => server.close(resolve));
}, 60_000);
