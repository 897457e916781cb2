// Over the network: a stranger sees one page, a device that was let in what its role may, and the desk everything.
import request, { type Test } from "supertest";
import { beforeEach, describe, expect, it } from "vitest";
import { createApp } from "#src/app.ts";
import { readSettings } from "#src/settings.ts";
import { openStore, type Store } from "#src/store/store.ts";
import { entryCodes, type EntryCodes } from "#src/studio/devices/entry-codes.ts";
import { noDoor } from "#src/studio/devices/network-door.ts";
import { knownRoutes } from "#src/web/api/api-end.ts";
import { fakeImaging } from "../../support/fake-imaging.ts";
import { fromNetwork } from "../../support/from-network.ts";
import { saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

type App = ReturnType<typeof createApp>;
let app: App;
let store: Store;
let codes: EntryCodes;

beforeEach(() => {
  const dataDir = temporaryFolder();
  store = openStore(dataDir);
  codes = entryCodes();
  const settings = { ...readSettings({ ALLOWED_HOSTS: "studio.example" }), dataDir };
  app = createApp({ settings, store, imaging: fakeImaging(), access: { door: noDoor(), codes } });
});

const phone = (address?: string) => request(fromNetwork(app, address));
const host = "192.168.1.20:4870";

async function letIn(role: "reader" | "keeper", name = "Phone", before = ""): Promise<string> {
  const { code } = codes.make(role);
  const answer = await phone()
    .post("/enter")
    .set({ Host: host, Cookie: before })
    .type("form")
    .send({ code, name, to: "/prints" });
  expect(answer.status).toBe(303);
  return String(answer.headers["set-cookie"]?.[0]).split(";")[0] ?? "";
}

const asPage = (test: Test): Test => test.set("Accept", "text/html");

describe("a stranger", () => {
  it("sees the entry page at every address, and nothing of the studio", async () => {
    saveSampleMaterials(store);
    for (const path of ["/", "/tests", "/studio/devices", "/studio/boxes/abc", "/no-such-page", "/live"]) {
      const answer = await asPage(phone().get(path).set("Host", host));
      expect(answer.status).toBe(401);
      expect(answer.text).toContain("Ask at the desk");
      expect(answer.text).not.toMatch(/<script|<nav|Box|main\.css|0\.1\.0/);
      expect(answer.headers["cache-control"]).toBe("no-store");
      expect(answer.headers["set-cookie"]).toBeUndefined();
    }
  });

  it("gets that page's style, and no other file", async () => {
    for (const name of ["enter", "tokens", "base", "button", "field"])
      expect((await phone().get(`/styles/${name}.css`)).status).toBe(200);
    for (const path of [
      "/styles/main.css",
      "/scripts/site.js",
      "/icons/favicon.svg",
      "/styles/../scripts/site.js",
      "/styles/",
    ])
      expect((await phone().get(path)).status).toBe(401);
  });

  it("reaches no route, by any method", async () => {
    const routes = knownRoutes(app).filter(
      ({ path }) => path !== "/enter" && path !== "/leave" && !path.startsWith("/styles/"),
    );
    expect(routes.length).toBeGreaterThan(120);
    const before = JSON.stringify([store.lamps.list(), store.devices.list()]);
    for (const { method, path } of routes) {
      const address = path.replace(/[:*]\w+/g, "abc");
      const send = phone();
      const answer = await send[method.toLowerCase() as "get"](address).set({ Host: host, Accept: "application/json" });
      expect(`${method} ${path} ${answer.status}`).toBe(`${method} ${path} 401`);
      expect(answer.headers["connection"]).toBe("close");
    }
    expect(JSON.stringify([store.lamps.list(), store.devices.list()])).toBe(before);
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
    await letIn("keeper");
    expect(
      (
        await phone()
          .get("/api/lamps")
          .set({ Host: host, ...headers })
      ).status,
    ).toBe(401);
    expect(
      (
        await phone()
          .post("/api/lamps")
          .set({ Host: host, ...headers })
          .send({ name: "x" })
      ).status,
    ).toBe(401);
  });

  it.each(["192.168.1.77", "::ffff:192.168.1.77", "10.0.0.9", "203.0.113.9", "fd00::9", "::ffff:10.0.0.9", "0.0.0.0"])(
    "is one at the address %s",
    async (address) => expect((await phone(address).get("/api/lamps").set("Host", host)).status).toBe(401),
  );

  it("is one where the connection has gone and nobody knows whose it was", async () => {
    const gone = fromNetwork(app, null, "127.0.0.1");
    expect((await request(gone).get("/api/lamps").set("Host", host)).status).toBe(401);
  });

  it.each(["/Enter", "/enter/", "/ENTER"])("by %s comes no further than the entry page", async (path) => {
    const answer = await asPage(phone().get(path).set("Host", host));
    expect(answer.text).toContain("Ask at the desk");
  });

  it("is sent nowhere else by what the link says", async () => {
    const { code } = codes.make("reader");
    for (const to of ["https://evil.test/", "//evil.test/", "/\\evil.test", "javascript:alert(1)", "/enter?code=1"]) {
      const page = await phone().get("/enter").query({ to, code: '"><script>' }).set("Host", host);
      expect(page.text).not.toMatch(/evil\.test|javascript:|"><script>/);
    }
    const answer = await phone()
      .post("/enter")
      .set("Host", host)
      .type("form")
      .send({ code, name: "P", to: "//evil.test/" });
    expect(answer.headers["location"]).toBe("/");
  });

  it("does not use a code up by looking at its link", async () => {
    const { code } = codes.make("reader");
    for (let times = 0; times < 3; times++)
      expect((await phone().get("/enter").query({ code }).set("Host", host)).text).toContain(code);
    expect(codes.current()?.code).toBe(code);
  });

  it("that guesses is held up, and the desk sees it", async () => {
    codes.make("keeper");
    const guess = () =>
      phone("192.168.1.66").post("/enter").set("Host", host).type("form").send({ code: "AAAABBBB", name: "P" });
    for (let times = 0; times < 8; times++) expect((await guess()).status).toBe(403);
    const answer = await guess();
    expect(answer.status).toBe(429);
    expect(answer.headers["retry-after"]).toBe("600");
    expect(store.devices.list()).toEqual([]);
    expect(codes.wrongTries()).toEqual({ count: 8, from: "192.168.1.66" });
  });

  it("cannot use another site's page of the phone to come in", async () => {
    const { code } = codes.make("keeper");
    const answer = await phone()
      .post("/enter")
      .set({ Host: host, Origin: "http://evil.test" })
      .type("form")
      .send({ code, name: "P" });
    expect(answer.status).toBe(403);
    expect(codes.current()).not.toBeNull();
  });

  it("that sends a lot is not read", async () => {
    const answer = await phone()
      .post("/enter")
      .set("Host", host)
      .type("form")
      .send({ code: "x".repeat(5000) });
    expect(answer.status).toBe(413);
  });
});

describe("a device that is let in", () => {
  it("gets a cookie that no script reads and no other site sends, and is led where it wanted to go", async () => {
    const { code } = codes.make("reader");
    const answer = await phone()
      .post("/enter")
      .set("Host", host)
      .type("form")
      .send({ code, name: "Anna's phone", to: "/studio/boxes/abc" });
    expect(answer.headers["location"]).toBe("/studio/boxes/abc");
    expect(answer.headers["set-cookie"]).toHaveLength(1);
    expect(answer.headers["set-cookie"]?.[0]).toMatch(
      /^wedgewright-device=[\w-]{43}; Max-Age=15552000; Path=\/; Expires=[^;]+; HttpOnly; SameSite=Strict$/,
    );
    expect(store.devices.list()).toMatchObject([{ name: "Anna's phone", role: "reader" }]);
  });

  it("keeps its secret to itself: what is stored, and what is told, does not contain it", async () => {
    const cookie = await letIn("reader");
    const secret = cookie.split("=")[1] ?? "none";
    expect(JSON.stringify(store.devices.list())).not.toContain(secret);
    const rows = await request(app)
      .get("/api/backup")
      .buffer(true)
      .parse((response, done) => {
        const chunks: Buffer[] = [];
        response.on("data", (chunk: Buffer) => chunks.push(chunk));
        response.on("end", () => done(null, Buffer.concat(chunks)));
      });
    expect((rows.body as Buffer).includes(secret)).toBe(false);
  });

  it("gets a fresh secret whatever it brought along, and its old one is good no longer", async () => {
    const fixed = `wedgewright-device=${"F".repeat(43)}`;
    const first = await letIn("reader", "Phone", fixed);
    expect(first).not.toBe(fixed);
    const second = await letIn("keeper", "Phone", first);
    expect((await phone().get("/api/lamps").set({ Host: host, Cookie: first })).status).toBe(401);
    expect((await phone().get("/api/lamps").set({ Host: host, Cookie: second })).status).toBe(200);
    expect(store.devices.list()).toHaveLength(1);
  });

  it("as a keeper does everything but letting devices in and restoring", async () => {
    const cookie = await letIn("keeper");
    const as = (test: Test): Test => test.set({ Host: host, Cookie: cookie });
    expect((await as(phone().post("/api/lamps")).send({ name: "Box" })).status).toBe(201);
    expect((await as(phone().get("/api/backup"))).status).toBe(200);
    expect((await as(phone().get("/studio/safe"))).status).toBe(200);
    for (const path of [
      "/studio/devices",
      "/Studio/Devices",
      "/studio/devices/",
      "//studio/devices",
      "/studio/%64evices",
    ])
      expect([403, 404]).toContain((await as(phone().get(path))).status);
    for (const path of [
      "/studio/devices/switch",
      "/studio/devices/code",
      "/studio/devices/abc",
      "/studio/devices/abc/shut-out",
      "/api/restore",
      "/API/Restore",
      "/api/restore/abc",
      "/studio/safe/look",
      "/studio/safe/states/abc",
    ])
      expect((await as(phone().post(path))).status).toBe(403);
  });

  it("as a reader looks and runs timers, and changes nothing", async () => {
    const materials = saveSampleMaterials(store);
    const { body } = await request(app)
      .post("/api/prints")
      .send({ ...materials, exposureSeconds: 600 });
    const { id } = body as { id: string };
    const cookie = await letIn("reader");
    const as = (test: Test): Test => test.set({ Host: host, Cookie: cookie });
    for (const path of ["/", "/tests", "/prints", `/prints/${id}`, "/api/prints", "/styles/main.css", "/sun"])
      expect((await as(phone().get(path))).status).toBe(200);
    expect((await as(phone().post(`/prints/${id}/steps/0/start`))).status).toBe(303);
    expect(store.prints.get(id).steps[0]?.startedAt).not.toBeNull();
    for (const path of [
      "/api/backup",
      "/api/backup/",
      "/API/BACKUP",
      "/api/calibrations",
      "/studio/safe",
      "/studio/bin",
      "/studio/sharing",
    ])
      expect((await as(phone().get(path))).status).toBe(403);
    const before = JSON.stringify([store.lamps.list(), store.prints.list()]);
    const changing = knownRoutes(app).filter(
      ({ method, path }) =>
        method !== "GET" &&
        !/^\/(enter|leave|preferences)$|\/steps\/|\/press$|^\/api\/(comparisons|sun\/exposures)$/.test(path),
    );
    expect(changing.length).toBeGreaterThan(60);
    for (const { method, path } of changing) {
      const address = path.replace(/[:*]\w+/g, path.includes("prints") ? id : materials.lampId);
      const answer = await as(phone()[method.toLowerCase() as "post"](address)).send({});
      expect(`${method} ${path} ${answer.status}`).toBe(`${method} ${path} 403`);
    }
    expect(JSON.stringify([store.lamps.list(), store.prints.list()])).toBe(before);
  }, 60_000);

  it("is shut out from its very next request", async () => {
    const cookie = await letIn("keeper");
    const [device] = store.devices.list();
    await request(app).post(`/studio/devices/${device?.id}/shut-out`).expect(303);
    expect((await phone().get("/api/lamps").set({ Host: host, Cookie: cookie })).status).toBe(401);
  });

  it("can be renamed and given another role from the desk, which holds at once", async () => {
    const cookie = await letIn("keeper");
    const id = store.devices.list()[0]?.id ?? "";
    await request(app).post(`/studio/devices/${id}`).type("form").send({ name: "Sink", role: "reader" }).expect(303);
    expect(store.devices.get(id)).toMatchObject({ name: "Sink", role: "reader" });
    expect((await phone().post("/api/lamps").set({ Host: host, Cookie: cookie }).send({ name: "x" })).status).toBe(403);
    await request(app).post(`/studio/devices/${id}`).type("form").send({ name: "Sink", role: "owner" }).expect(400);
  });

  it("can leave by itself", async () => {
    const cookie = await letIn("reader");
    const answer = await phone().post("/leave").set({ Host: host, Cookie: cookie });
    expect(answer.headers["set-cookie"]?.[0]).toMatch(/^wedgewright-device=; Path=\/; Expires=Thu, 01 Jan 1970/);
    expect(store.devices.list()).toEqual([]);
  });

  it("is said to be seen, and is forgotten after half a year away", async () => {
    const dataDir = temporaryFolder();
    let nowMs = Date.now() - 181 * 24 * 3_600_000;
    store = openStore(dataDir, { now: () => new Date(nowMs) });
    app = createApp({
      settings: { ...readSettings({}), dataDir },
      store,
      imaging: fakeImaging(),
      access: { door: noDoor(), codes },
    });
    const old = await letIn("reader", "Old");
    expect((await phone().get("/").set({ Host: host, Cookie: old })).status).toBe(401);
    nowMs += 81 * 24 * 3_600_000;
    const newer = await letIn("reader", "Newer");
    nowMs = Date.now();
    expect((await phone().get("/").set({ Host: host, Cookie: newer })).status).toBe(200);
    expect(store.devices.list().map(({ name }) => name)).toEqual(["Newer"]);
    expect(Date.now() - Date.parse(store.devices.list()[0]?.lastSeenAt ?? "")).toBeLessThan(60_000);
    await letIn("reader", "Third");
    expect(store.devices.list().map(({ name }) => name)).toEqual(["Newer", "Third"]);
  });

  it("stays as it is when a backup is restored, and one that was shut out does not come back with it", async () => {
    const staying = await letIn("keeper", "Staying");
    const leaving = await letIn("keeper", "Leaving");
    await request(app).post("/api/lamps").send({ name: "Box" });
    const archive: Buffer[] = [];
    for await (const piece of store.backup("0")) archive.push(Buffer.from(piece));
    const id = store.devices.list().find(({ name }) => name === "Leaving")?.id ?? "";
    store.devices.remove(id);
    await request(app).post("/api/restore").type("application/x-tar").send(Buffer.concat(archive)).expect(200);
    expect((await phone().get("/").set({ Host: host, Cookie: staying })).status).toBe(200);
    expect((await phone().get("/").set({ Host: host, Cookie: leaving })).status).toBe(401);
  });
});

describe("the desk", () => {
  it.each(["127.0.0.1", "::1", "::ffff:127.0.0.1"])("is whoever asks from %s", async (address) => {
    expect((await phone(address).get("/api/lamps").set("Host", "127.0.0.1:4870")).status).toBe(200);
  });

  it("is also who asks from this machine by its address in the network", async () => {
    const own = fromNetwork(app, "192.168.1.20", "192.168.1.20");
    expect((await request(own).get("/api/lamps").set("Host", host)).status).toBe(200);
  });

  it.each<[string, Record<string, string>]>([
    ["by X-Forwarded-For", { "X-Forwarded-For": "127.0.0.1" }],
    ["by an X-Forwarded header nobody thought of", { "X-Forwarded-Something": "1" }],
    ["by Forwarded", { Forwarded: "for=127.0.0.1" }],
    ["by Via", { Via: "1.1 proxy" }],
    ["by X-Real-IP", { "X-Real-IP": "127.0.0.1" }],
    ["by a name that was added for the network", { Host: "studio.example" }],
  ])("is nobody whom a proxy on this machine carries, told %s", async (_how, headers) => {
    expect((await request(app).get("/api/lamps").set(headers)).status).toBe(401);
  });

  it("sees switch, code and devices on one page", async () => {
    await letIn("reader", "Anna <b>phone</b>");
    await request(app).post("/studio/devices/switch").type("form").send({ phones: "on" }).expect(303);
    expect(store.devices.isSwitchedOn()).toBe(true);
    await request(app).post("/studio/devices/code").type("form").send({ role: "nobody" }).expect(400);
    const page = await asPage(request(app).get("/studio/devices"));
    expect(page.text).toContain("Anna &lt;b&gt;phone&lt;/b&gt;");
    expect(page.text).toContain("Only this computer reaches Wedgewright");
    await request(app).post("/studio/devices/switch").type("form").send({ phones: "off" }).expect(303);
    expect(store.devices.isSwitchedOn()).toBe(false);
    expect((await request(app).get("/enter")).headers["location"]).toBe("/studio/devices");
  });
});
