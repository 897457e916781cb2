// The thread that fits the curves of tests answers as the core does in place, and what others change meanwhile counts.
import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import request from "supertest";
import { afterAll, describe, expect, it } from "vitest";
import { assessTest } from "#shared/advice/assess-test.ts";
import { evennessMap } from "#shared/evenness/evenness.ts";
import { createApp } from "#src/app.ts";
import { readSettings, rootDir } from "#src/settings.ts";
import { assessAhead } from "#src/studio/tests/assess-saved.ts";
import { startAssessThread, type AssessThread } from "#src/studio/tests/assess-thread.ts";
import { openStore } from "#src/store/store.ts";
import { curveImaging, picturedCurve } from "../../support/curve-imaging.ts";
import { saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

const workerFile = join(rootDir, ".build", "assess-worker.mjs");
const real = startAssessThread(workerFile);
afterAll(() => real.close());

/** Holds each answer back until it is let go. */
function heldThread(): AssessThread & { letGo(): void; asked: number } {
  let open: (() => void)[] = [];
  const held = {
    asked: 0,
    letGo() {
      for (const each of open) each();
      open = [];
    },
    async assess(input: Parameters<AssessThread["assess"]>[0]) {
      held.asked++;
      const result = await real.assess(input);
      await new Promise<void>((resolve) => open.push(resolve));
      return result;
    },
    mapEvenness: (...input: Parameters<AssessThread["mapEvenness"]>) => real.mapEvenness(...input),
    async close() {},
  };
  return held;
}

function studioWith(assessThread: AssessThread) {
  const dataDir = temporaryFolder();
  const store = openStore(dataDir);
  const app = createApp({
    settings: { ...readSettings({}), dataDir },
    store,
    imaging: curveImaging(),
    assessThread,
  });
  const materials = saveSampleMaterials(store);
  const tablet = { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 };
  const send = (exposureSeconds: number) =>
    request(app)
      .post("/api/tests")
      .attach("photo", picturedCurve({ middle: 1.2, net: 1.6, exposureSeconds }), "a.png")
      .field("request", JSON.stringify({ tablet, ...materials, exposureSeconds }));
  return { app, store, materials, send };
}

const until = async (isSo: () => boolean): Promise<void> => {
  while (!isSo()) await new Promise((resolve) => setTimeout(resolve, 5));
};

describe("the thread of the tests' curves", { timeout: 60_000 }, () => {
  it("saves what the core finds in place", async () => {
    const { store, send } = studioWith(real);
    const saved = (await send(480).expect(201)).body;
    const film = store.films.get(saved.filmId);
    const found = assessTest({
      request: saved.request,
      reading: saved.reading,
      filmDensity: film.baseDensity ?? null,
      filmMaxDensity: film.maxDensity ?? null,
      ...(film.baseSigmaDensity == null ? {} : { filmSigma: film.baseSigmaDensity }),
    });
    expect(saved.curve).toEqual(JSON.parse(JSON.stringify(found.curve)));
    expect(saved.exposure.seconds).toBe(found.exposure.seconds);
    const ahead = await assessAhead({ store, assessThread: real }, saved.request, saved.reading);
    expect(ahead?.made.exposure).toEqual(saved.exposure);
    expect(await assessAhead({ store }, saved.request, saved.reading)).toBeUndefined();
    expect(saved.curve.samples.length).toBeGreaterThan(10);
  });

  it("when a name is changed while a change of the time is being reckoned, keeps both", async () => {
    const thread = heldThread();
    const { app, send } = studioWith(thread);
    const sent = send(480).then((answer) => answer);
    await until(() => thread.asked === 1);
    const release = setInterval(() => thread.letGo(), 20);
    const { id } = (await sent).body;
    clearInterval(release);
    const before = thread.asked;
    const slow = request(app)
      .patch(`/api/tests/${id}`)
      .send({ exposureSeconds: 600 })
      .then((answer) => answer);
    await until(() => thread.asked === before + 1);
    const quick = request(app)
      .patch(`/api/tests/${id}`)
      .send({ name: "Both" })
      .then((answer) => answer);
    await until(() => thread.asked === before + 2);
    const again = setInterval(() => thread.letGo(), 20);
    expect([(await slow).status, (await quick).status]).toEqual([200, 200]);
    clearInterval(again);
    const now = (await request(app).get(`/api/tests/${id}`)).body;
    expect(now).toMatchObject({ name: "Both", exposureSeconds: 600 });
  });

  it("when two changes say the same version, refuses the later one", async () => {
    const { app, send } = studioWith(real);
    const { id, updatedAt } = (await send(480).expect(201)).body;
    const change = (name: string) =>
      request(app)
        .patch(`/api/tests/${id}`)
        .set("If-Match", `"${updatedAt}"`)
        .send({ name, exposureSeconds: 500 })
        .then(({ status }) => status);
    const statuses = await Promise.all([change("one"), change("two")]);
    expect(statuses.sort()).toEqual([200, 409]);
  });

  it("draws the map of a bed as the core does in place", async () => {
    const places = [0, 1, 2, 3, 4, 5, 6, 7, 8].map((i) => ({
      x: (i % 3) / 2,
      y: Math.floor(i / 3) / 2,
      stops: -0.1 * (i % 4),
      sigmaStops: 0.05,
    }));
    const given = [places, { widthMm: 400, heightMm: 300 }, { kind: "tubes", distanceMm: 80 }] as const;
    expect(await real.mapEvenness(...given)).toEqual(evennessMap(...given));
  });

  it("that ends in the middle tells those who wait, and the next one gets a fresh thread", async () => {
    const folder = mkdtempSync(join(tmpdir(), "assess-thread-"));
    const file = join(folder, "ends-once.mjs");
    writeFileSync(
      file,
      `import { parentPort } from "node:worker_threads";
       import { existsSync, writeFileSync } from "node:fs";
       const mark = ${JSON.stringify(join(folder, "mark"))};
       parentPort.on("message", ({ id }) => {
         if (existsSync(mark)) parentPort.postMessage({ id, kind: "done", result: { fresh: true } });
         else { writeFileSync(mark, ""); process.exit(3); }
       });`,
    );
    const thread = startAssessThread(file);
    const input = {} as Parameters<AssessThread["assess"]>[0];
    await expect(thread.assess(input)).rejects.toThrow(/ended/);
    expect(await thread.assess(input)).toEqual({ fresh: true });
    await thread.close();
    await expect(thread.assess(input)).rejects.toThrow(/closed/);
  });
});
