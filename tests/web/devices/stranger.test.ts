// Over the network: a stranger sees one page and nothing else.
import request from "supertest";
import { describe, expect, it } from "vitest";
import { knownRoutes } from "#src/web/api/api-end.ts";
import { fromNetwork } from "../../support/from-network.ts";
import { asPage, host, networkStudio } from "../../support/network-studio.ts";
import { saveSampleMaterials } from "../../support/studios/sample-records.ts";

const studio = networkStudio();

describe("a stranger", () => {
  it("sees the entry page at every address, and nothing of the studio", async () => {
    saveSampleMaterials(studio.store);
    for (const path of ["/", "/tests", "/studio/devices", "/studio/boxes/abc", "/no-such-page", "/live"]) {
      const answer = await asPage(studio.phone().get(path).set("Host", host));
      expect(answer.status).toBe(401);
      expect(answer.text).toContain("Ask at the desk");
      expect(answer.text).not.toMatch(/<script|<nav|Box|main\.css|0\.1\.0/);
      expect(answer.headers["cache-control"]).toBe("no-store");
      expect(answer.headers["set-cookie"]).toBeUndefined();
    }
  });

  it("gets that page's style, and no other file", async () => {
    for (const name of ["enter", "tokens", "base", "button", "field"])
      expect((await studio.phone().get(`/styles/${name}.css`)).status).toBe(200);
    for (const path of [
      "/styles/main.css",
      "/scripts/site.js",
      "/icons/favicon.svg",
      "/styles/../scripts/site.js",
      "/styles/",
    ])
      expect((await studio.phone().get(path)).status).toBe(401);
  });

  it("reaches no route, by any method", async () => {
    const routes = knownRoutes(studio.app).filter(
      ({ path }) => path !== "/enter" && path !== "/leave" && !path.startsWith("/styles/"),
    );
    expect(routes.length).toBeGreaterThan(120);
    const before = JSON.stringify([studio.store.lamps.list(), studio.store.devices.list()]);
    for (const { method, path } of routes) {
      const address = path.replace(/[:*]\w+/g, "abc");
      const send = studio.phone();
      const answer = await send[method.toLowerCase() as "get"](address).set({ Host: host, Accept: "application/json" });
      expect(`${method} ${path} ${answer.status}`).toBe(`${method} ${path} 401`);
      expect(answer.headers["connection"]).toBe("close");
    }
    expect(JSON.stringify([studio.store.lamps.list(), studio.store.devices.list()])).toBe(before);
  }, 60_000);

  it.each<[string, Record<string, string>]>([
    ["X-Forwarded-For", { "X-Forwarded-For": "127.0.0.1" }],
    ["Forwarded", { Forwarded: "for=127.0.0.1" }],
    ["X-Real-IP", { "X-Real-IP": "127.0.0.1" }],
    ["a Host of the desk", { Host: "127.0.0.1:4870" }],
    ["a Host localhost", { Host: "localhost:4870" }],
    ["the secret of nobody", { Cookie: `wedgewright-device=${"A".repeat(43)}` }],
    ["an empty secret", { Cookie: "wedgewright-device=" }],
    ["a huge cookie", { Cookie: `wedgewright-device=${"A".repeat(7000)}` }],
    ["the hash of a secret", { Cookie: `wedgewright-device=${"a".repeat(64)}` }],
    ["an SQL wildcard", { Cookie: "wedgewright-device=%" }],
    ["a device's id", { Cookie: "wedgewright-device=1" }],
    ["an Authorization", { Authorization: "Basic YWRtaW46YWRtaW4=" }],
    ["a method override", { "X-HTTP-Method-Override": "GET" }],
    ["an original URL", { "X-Original-URL": "/styles/enter.css", "X-Rewrite-URL": "/enter" }],
  ])("is not taken for somebody by %s", async (_name, headers) => {
    await studio.letIn("keeper");
    expect(
      (
        await studio
          .phone()
          .get("/api/lamps")
          .set({ Host: host, ...headers })
      ).status,
    ).toBe(401);
    expect(
      (
        await studio
          .phone()
          .post("/api/lamps")
          .set({ Host: host, ...headers })
          .send({ name: "x" })
      ).status,
    ).toBe(401);
  });

  it.each(["192.168.1.77", "::ffff:192.168.1.77", "10.0.0.9", "203.0.113.9", "fd00::9", "::ffff:10.0.0.9", "0.0.0.0"])(
    "is one at the address %s",
    async (address) => expect((await studio.phone(address).get("/api/lamps").set("Host", host)).status).toBe(401),
  );

  it("is one where the connection has gone and nobody knows whose it was", async () => {
    const gone = fromNetwork(studio.app, null, "127.0.0.1");
    expect((await request(gone).get("/api/lamps").set("Host", host)).status).toBe(401);
  });

  it.each(["/Enter", "/enter/", "/ENTER"])("by %s comes no further than the entry page", async (path) => {
    const answer = await asPage(studio.phone().get(path).set("Host", host));
    expect(answer.text).toContain("Ask at the desk");
  });

  it("is sent nowhere else by what the link says", async () => {
    const { code } = studio.codes.make("reader");
    for (const to of ["https://evil.test/", "//evil.test/", "/\\evil.test", "javascript:alert(1)", "/enter?code=1"]) {
      const page = await studio.phone().get("/enter").query({ to, code: '"><script>' }).set("Host", host);
      expect(page.text).not.toMatch(/evil\.test|javascript:|"><script>/);
    }
    const answer = await studio
      .phone()
      .post("/enter")
      .set("Host", host)
      .type("form")
      .send({ code, name: "P", to: "//evil.test/" });
    expect(answer.headers["location"]).toBe("/");
  });

  it("does not use a code up by looking at its link", async () => {
    const { code } = studio.codes.make("reader");
    for (let times = 0; times < 3; times++)
      expect((await studio.phone().get("/enter").query({ code }).set("Host", host)).text).toContain(code);
    expect(studio.codes.current()?.code).toBe(code);
  });

  it("that guesses is held up, and the desk sees it", async () => {
    studio.codes.make("keeper");
    const guess = () =>
      studio.phone("192.168.1.66").post("/enter").set("Host", host).type("form").send({ code: "AAAABBBB", name: "P" });
    for (let times = 0; times < 8; times++) expect((await guess()).status).toBe(403);
    const answer = await guess();
    expect(answer.status).toBe(429);
    expect(answer.headers["retry-after"]).toBe("600");
    expect(studio.store.devices.list()).toEqual([]);
    expect(studio.codes.wrongTries()).toEqual({ count: 8, from: "192.168.1.66" });
  });

  it("cannot use another site's page of the phone to come in", async () => {
    const { code } = studio.codes.make("keeper");
    const answer = await studio
      .phone()
      .post("/enter")
      .set({ Host: host, Origin: "http://evil.test" })
      .type("form")
      .send({ code, name: "P" });
    expect(answer.status).toBe(403);
    expect(studio.codes.current()).not.toBeNull();
  });

  it("that sends a lot is not read", async () => {
    const answer = await studio
      .phone()
      .post("/enter")
      .set("Host", host)
      .type("form")
      .send({ code: "x".repeat(5000) });
    expect(answer.status).toBe(413);
  });
});
