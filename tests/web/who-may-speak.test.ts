import request from "supertest";
import { describe, expect, it } from "vitest";
import { createApp } from "#src/app.ts";
import { readSettings } from "#src/settings.ts";
import { hostNameOf } from "#src/web/who-may-speak.ts";
import { testApp } from "../support/test-app.ts";

const { app, store, imaging } = testApp();
type Headers = Readonly<Record<string, string>>;
const read = (headers: Headers, path = "/api/lamps") => request(app).get(path).set(headers);
const write = (headers: Headers) => request(app).post("/api/lamps").set(headers).send({ name: "x" });
const writeForm = (headers: Headers) =>
  request(app).post("/studio/boxes").set(headers).type("form").send({ name: "x" });

describe("a program", () => {
  it.each(["127.0.0.1:4870", "localhost:4870", "localhost", "[::1]:4870", "192.168.1.20:4870", "studio.localhost"])(
    "that asks %s and sends no origin reads and changes",
    async (host) => {
      expect((await read({ Host: host })).status).toBe(200);
      expect((await write({ Host: host })).status).toBe(201);
    },
  );
});

describe("a page of our own", () => {
  it("reads and changes under every name of this machine", async () => {
    for (const host of ["127.0.0.1:4870", "localhost:4870", "192.168.1.20:4870"]) {
      const headers = { Host: host, Origin: `http://${host}` };
      expect((await write(headers)).status).toBe(201);
      expect((await write({ ...headers, "Sec-Fetch-Site": "same-origin" })).status).toBe(201);
      expect((await read({ Host: host, "Sec-Fetch-Site": "same-origin" })).status).toBe(200);
    }
  });

  it("tells its own server where it comes from, and other sites nothing", async () => {
    expect((await read({}, "/")).headers["referrer-policy"]).toBe("same-origin");
  });
});

describe("a name that is not this machine's", () => {
  it.each(["rebind.test:4870", "evil.example", "127.0.0.1.evil.example:4870", "localhost.evil.example", "a b", "[::1"])(
    "such as %s reads nothing and changes nothing",
    async (host) => {
      const before = store.lamps.list().length;
      for (const answer of [
        await read({ Host: host }),
        await read({ Host: host }, "/"),
        await read({ Host: host }, "/api/backup"),
        await write({ Host: host, Origin: `http://${host}`, "Sec-Fetch-Site": "same-origin" }),
      ]) {
        expect(answer.status).toBe(403);
        expect(answer.text).not.toMatch(/"name"|lamp/);
      }
      expect(store.lamps.list()).toHaveLength(before);
    },
  );

  it("is answered once ALLOWED_HOSTS names it, though as a name of the network: the device needs a code", async () => {
    const settings = { ...readSettings({ ALLOWED_HOSTS: "Studio.lan, darkroom.example" }), dataDir: store.dataDir };
    const open = createApp({ settings, store, imaging });
    expect((await request(open).get("/api/lamps").set("Host", "studio.lan:4870")).status).toBe(401);
    expect((await request(open).get("/api/lamps").set("Host", "darkroom.example")).status).toBe(401);
    expect((await request(open).get("/api/lamps").set("Host", "elsewhere.example")).status).toBe(403);
  });
});

describe("a page of another site", () => {
  const host = "192.168.1.20:4870";
  it.each<[string, Headers]>([
    ["of another origin", { Origin: "http://evil.test" }],
    ["that hides its origin, or is a sandboxed frame", { Origin: "null" }],
    ["on another port", { Origin: "http://192.168.1.20:8000" }],
    ["on another port, by the browser's word", { "Sec-Fetch-Site": "same-site" }],
    ["by the browser's word", { "Sec-Fetch-Site": "cross-site" }],
    ["by the browser's word in capitals", { "Sec-Fetch-Site": "CROSS-SITE" }],
    ["by a word that nobody knows yet", { "Sec-Fetch-Site": "near-site" }],
    ["with an origin that is no address", { Origin: "nonsense" }],
    ["whose origin only begins like ours", { Origin: "http://192.168.1.20:4870.evil.test" }],
    [
      "with our origin but another site by the browser's word",
      { Origin: `http://${host}`, "Sec-Fetch-Site": "cross-site" },
    ],
  ])("%s changes nothing, by JSON or by form, and cannot use the API to read", async (_case, headers) => {
    const before = store.lamps.list().length;
    expect((await write({ Host: host, ...headers })).status).toBe(403);
    expect((await writeForm({ Host: host, ...headers })).status).toBe(403);
    expect((await read({ Host: host, ...headers })).status).toBe(403);
    expect((await read({ Host: host, ...headers }, "/api/backup")).status).toBe(403);
    expect(store.lamps.list()).toHaveLength(before);
  });

  it("may hold a link to our pages, but no frame, picture or script of them", async () => {
    const link = {
      Host: host,
      "Sec-Fetch-Site": "cross-site",
      "Sec-Fetch-Mode": "navigate",
      "Sec-Fetch-Dest": "document",
    };
    expect((await read(link, "/")).status).toBe(200);
    expect((await read({ ...link, "Sec-Fetch-Dest": "iframe" }, "/")).status).toBe(403);
    expect((await read({ ...link, "Sec-Fetch-Mode": "no-cors", "Sec-Fetch-Dest": "image" }, "/tests")).status).toBe(
      403,
    );
    expect((await read(link, "/api/backup")).status).toBe(403);
  });
});

it("a Host header gives its name without port, brackets and final dot", () => {
  expect(hostNameOf("LOCALHOST:80")).toBe("localhost");
  expect(hostNameOf("[::1]:80")).toBe("::1");
  expect(hostNameOf("studio.lan.")).toBe("studio.lan");
  expect(hostNameOf("evil@localhost")).toBeUndefined();
});
