// Over the network: a device that was let in does what its role may, and the desk everything.
import request, { type Test } from "supertest";
import { describe, expect, it } from "vitest";
import { knownRoutes } from "#src/web/api/api-end.ts";
import { fromNetwork } from "../../support/from-network.ts";
import { asPage, host, networkStudio } from "../../support/network-studio.ts";
import { saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

const studio = networkStudio();

describe("a device that is let in", () => {
  it("gets a cookie that no script reads and no other site sends, and is led where it wanted to go", async () => {
    const { code } = studio.codes.make("reader");
    const answer = await studio
      .phone()
      .post("/enter")
      .set("Host", host)
      .type("form")
      .send({ code, name: "Anna's phone", to: "/studio/boxes/abc" });
    expect(answer.headers["location"]).toBe("/studio/boxes/abc");
    expect(answer.headers["set-cookie"]).toHaveLength(1);
    expect(answer.headers["set-cookie"]?.[0]).toMatch(
      /^wedgewright-device=[\w-]{43}; Max-Age=15552000; Path=\/; Expires=[^;]+; HttpOnly; SameSite=Strict$/,
    );
    expect(studio.store.devices.list()).toMatchObject([{ name: "Anna's phone", role: "reader" }]);
  });

  it("keeps its secret to itself: what is stored, and what is told, does not contain it", async () => {
    const cookie = await studio.letIn("reader");
    const secret = cookie.split("=")[1] ?? "none";
    expect(JSON.stringify(studio.store.devices.list())).not.toContain(secret);
    const rows = await request(studio.app)
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
    const first = await studio.letIn("reader", "Phone", fixed);
    expect(first).not.toBe(fixed);
    const second = await studio.letIn("keeper", "Phone", first);
    expect((await studio.phone().get("/api/lamps").set({ Host: host, Cookie: first })).status).toBe(401);
    expect((await studio.phone().get("/api/lamps").set({ Host: host, Cookie: second })).status).toBe(200);
    expect(studio.store.devices.list()).toHaveLength(1);
  });

  it("as a keeper does everything but letting devices in and restoring", async () => {
    const cookie = await studio.letIn("keeper");
    const as = (test: Test): Test => test.set({ Host: host, Cookie: cookie });
    expect((await as(studio.phone().post("/api/lamps")).send({ name: "Box" })).status).toBe(201);
    expect((await as(studio.phone().get("/api/backup"))).status).toBe(200);
    expect((await as(studio.phone().get("/studio/safe"))).status).toBe(200);
    for (const path of [
      "/studio/devices",
      "/Studio/Devices",
      "/studio/devices/",
      "//studio/devices",
      "/studio/%64evices",
    ])
      expect([403, 404]).toContain((await as(studio.phone().get(path))).status);
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
      expect((await as(studio.phone().post(path))).status).toBe(403);
  });

  it("as a reader looks and runs timers, and changes nothing", async () => {
    const materials = saveSampleMaterials(studio.store);
    const { body } = await request(studio.app)
      .post("/api/prints")
      .send({ ...materials, exposureSeconds: 600 });
    const { id } = body as { id: string };
    const cookie = await studio.letIn("reader");
    const as = (test: Test): Test => test.set({ Host: host, Cookie: cookie });
    for (const path of ["/", "/tests", "/prints", `/prints/${id}`, "/api/prints", "/styles/main.css", "/sun"])
      expect((await as(studio.phone().get(path))).status).toBe(200);
    expect((await as(studio.phone().post(`/prints/${id}/steps/0/start`))).status).toBe(303);
    expect(studio.store.prints.get(id).steps[0]?.startedAt).not.toBeNull();
    for (const path of [
      "/api/backup",
      "/api/backup/",
      "/API/BACKUP",
      "/api/calibrations",
      "/studio/safe",
      "/studio/bin",
      "/studio/sharing",
    ])
      expect((await as(studio.phone().get(path))).status).toBe(403);
    const before = JSON.stringify([studio.store.lamps.list(), studio.store.prints.list()]);
    const changing = knownRoutes(studio.app).filter(
      ({ method, path }) =>
        method !== "GET" &&
        !/^\/(enter|leave|preferences|queue)$|\/steps\/|\/press$|^\/api\/(comparisons|sun\/exposures)$/.test(path),
    );
    expect(changing.length).toBeGreaterThan(60);
    for (const { method, path } of changing) {
      const address = path.replace(/[:*]\w+/g, path.includes("prints") ? id : materials.lampId);
      const answer = await as(studio.phone()[method.toLowerCase() as "post"](address)).send({});
      expect(`${method} ${path} ${answer.status}`).toBe(`${method} ${path} 403`);
    }
    expect(JSON.stringify([studio.store.lamps.list(), studio.store.prints.list()])).toBe(before);
  }, 60_000);

  it("is shut out from its very next request", async () => {
    const cookie = await studio.letIn("keeper");
    const [device] = studio.store.devices.list();
    await request(studio.app).post(`/studio/devices/${device?.id}/shut-out`).expect(303);
    expect((await studio.phone().get("/api/lamps").set({ Host: host, Cookie: cookie })).status).toBe(401);
  });

  it("can be renamed and given another role from the desk, which holds at once", async () => {
    const cookie = await studio.letIn("keeper");
    const id = studio.store.devices.list()[0]?.id ?? "";
    await request(studio.app)
      .post(`/studio/devices/${id}`)
      .type("form")
      .send({ name: "Sink", role: "reader" })
      .expect(303);
    expect(studio.store.devices.get(id)).toMatchObject({ name: "Sink", role: "reader" });
    expect(
      (await studio.phone().post("/api/lamps").set({ Host: host, Cookie: cookie }).send({ name: "x" })).status,
    ).toBe(403);
    await request(studio.app)
      .post(`/studio/devices/${id}`)
      .type("form")
      .send({ name: "Sink", role: "owner" })
      .expect(400);
  });

  it("can leave by itself", async () => {
    const cookie = await studio.letIn("reader");
    const answer = await studio.phone().post("/leave").set({ Host: host, Cookie: cookie });
    expect(answer.headers["set-cookie"]?.[0]).toMatch(/^wedgewright-device=; Path=\/; Expires=Thu, 01 Jan 1970/);
    expect(studio.store.devices.list()).toEqual([]);
  });

  it("is said to be seen, and is forgotten after half a year away", async () => {
    let nowMs = Date.now() - 181 * 24 * 3_600_000;
    studio.begin(temporaryFolder(), () => new Date(nowMs));
    const old = await studio.letIn("reader", "Old");
    expect((await studio.phone().get("/").set({ Host: host, Cookie: old })).status).toBe(401);
    nowMs += 81 * 24 * 3_600_000;
    const newer = await studio.letIn("reader", "Newer");
    nowMs = Date.now();
    expect((await studio.phone().get("/").set({ Host: host, Cookie: newer })).status).toBe(200);
    expect(studio.store.devices.list().map(({ name }) => name)).toEqual(["Newer"]);
    expect(Date.now() - Date.parse(studio.store.devices.list()[0]?.lastSeenAt ?? "")).toBeLessThan(60_000);
    await studio.letIn("reader", "Third");
    expect(studio.store.devices.list().map(({ name }) => name)).toEqual(["Newer", "Third"]);
  });

  it("stays as it is when a backup is restored, and one that was shut out does not come back with it", async () => {
    const staying = await studio.letIn("keeper", "Staying");
    const leaving = await studio.letIn("keeper", "Leaving");
    await request(studio.app).post("/api/lamps").send({ name: "Box" });
    const archive: Buffer[] = [];
    for await (const piece of studio.store.backup("0")) archive.push(Buffer.from(piece));
    const id = studio.store.devices.list().find(({ name }) => name === "Leaving")?.id ?? "";
    studio.store.devices.remove(id);
    await request(studio.app).post("/api/restore").type("application/x-tar").send(Buffer.concat(archive)).expect(200);
    expect((await studio.phone().get("/").set({ Host: host, Cookie: staying })).status).toBe(200);
    expect((await studio.phone().get("/").set({ Host: host, Cookie: leaving })).status).toBe(401);
  });
});

describe("the desk", () => {
  it.each(["127.0.0.1", "::1", "::ffff:127.0.0.1"])("is whoever asks from %s", async (address) => {
    expect((await studio.phone(address).get("/api/lamps").set("Host", "127.0.0.1:4870")).status).toBe(200);
  });

  it("is also who asks from this machine by its address in the network", async () => {
    const own = fromNetwork(studio.app, "192.168.1.20", "192.168.1.20");
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
    expect((await request(studio.app).get("/api/lamps").set(headers)).status).toBe(401);
  });

  it("sees switch, code and devices on one page", async () => {
    await studio.letIn("reader", "Anna <b>phone</b>");
    await request(studio.app).post("/studio/devices/switch").type("form").send({ phones: "on" }).expect(303);
    expect(studio.store.devices.isSwitchedOn()).toBe(true);
    await request(studio.app).post("/studio/devices/code").type("form").send({ role: "nobody" }).expect(400);
    const page = await asPage(request(studio.app).get("/studio/devices"));
    expect(page.text).toContain("Anna &lt;b&gt;phone&lt;/b&gt;");
    expect(page.text).toContain("Only this computer reaches Wedgewright");
    await request(studio.app).post("/studio/devices/switch").type("form").send({ phones: "off" }).expect(303);
    expect(studio.store.devices.isSwitchedOn()).toBe(false);
    expect((await request(studio.app).get("/enter")).headers["location"]).toBe("/studio/devices");
  });
});
