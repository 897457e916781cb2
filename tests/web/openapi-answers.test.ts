// Every route of the API is asked once and its answer held strictly against the document: a member that the document
// does not know fails as much as one that is missing.
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import request, { type Response, type Test } from "supertest";
import { describe, expect, it } from "vitest";
import { rootDir } from "#src/settings.ts";
import { answerSchemas, type AnswerName } from "#src/web/openapi/answers.ts";
import { operations } from "#src/web/openapi/operations.ts";
import { answeringImaging } from "../support/answering-imaging.ts";
import { saveCheckSheet } from "../support/pictures/check-sheet.ts";
import { picturedCurve } from "../support/curve-imaging.ts";
import { saveSampleMaterials } from "../support/studios/sample-records.ts";
import { saveSunTest } from "../support/studios/sun-tests.ts";
import { logistic } from "../support/studios/synthetic-test.ts";
import { testApp } from "../support/test-app.ts";

const tablet = { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 } as const;
const corners = [
  [10, 10],
  [90, 10],
  [90, 60],
  [10, 60],
];

const { app, store } = testApp({ imaging: answeringImaging() });

const asked = new Set<string>();

/** Asks a route and holds the answer against what the document says of it. */
async function ask(route: string, send: (test: Test) => Test = (test) => test, place = ""): Promise<Response> {
  const operation = operations[route];
  if (operation === undefined) throw new Error(`The document does not know ${route}.`);
  asked.add(route);
  const [method = "", path = ""] = route.split(" ");
  const address = path.replace("{id}", place);
  const verb = method.toLowerCase() as "get" | "post" | "patch" | "put" | "delete";
  const response = await send(request(app)[verb](address)).buffer(true);
  expect(`${route}: ${response.status} ${response.status >= 400 ? response.text : ""}`).toBe(
    `${route}: ${operation.status ?? 200} `,
  );
  const { gives } = operation;
  if (gives === undefined) return response;
  if (typeof gives === "object" && "files" in gives) {
    expect(gives.files).toContain(response.type);
    return response;
  }
  expectStrictly(typeof gives === "string" ? gives : gives[0], typeof gives === "string" ? response.body : null, route);
  if (typeof gives !== "string") {
    const rows = response.body as unknown[];
    expect(rows.length, `${route} has rows to look at`).toBeGreaterThan(0);
    for (const row of rows) expectStrictly(gives[0], row, route);
  }
  return response;
}

/**
 * Parsing drops members that a schema does not know and fills in defaults, so an answer that comes out as it went in
 * has neither.
 */
function expectStrictly(name: AnswerName, body: unknown, route: string): void {
  if (body === null) return;
  const parsed = answerSchemas[name].safeParse(body);
  expect(parsed.error?.issues ?? [], `${route} as ${name}`).toEqual([]);
  expect(parsed.data, `${route} as ${name}`).toEqual(body);
}

const json = (body: object) => (test: Test) => test.send(body);
const picture = picturedCurve({ middle: 2, net: 1.4, exposureSeconds: 900 });
const form =
  (body: object, file: Buffer = picture) =>
  (test: Test) =>
    test.attach("photo", file, "a.jpg").field("request", JSON.stringify(body));

describe("every answer of the API", () => {
  const materials = saveSampleMaterials(store);
  const idOf = (response: Response): string => (response.body as { id: string }).id;

  it("of the document itself and of trouble is as described", async () => {
    await ask("GET /api/health");
    await ask("GET /api/openapi.json");
    const { body } = await request(app).get("/api/nothing").expect(404);
    expectStrictly("Problem", body, "GET /api/nothing");
  });

  it.each([
    ["lamps", { name: "Box", kind: "tubes", widthMm: 600, heightMm: 450, distanceMm: 90 }, { notes: "new tubes" }],
    ["supports", { name: "Rag" }, { kind: "fabric" }],
    ["coatings", { name: "Blue", mixedAt: "2026-05-01" }, { lot: "7" }],
    ["films", { name: "Clear", baseDensity: 0.1 }, { device: "desk printer" }],
    ["stocks", { name: "Part A", madeOn: "2026-05-01" }, { lot: "7" }],
  ])("of %s is as described", async (kind, record, change) => {
    const id = idOf(await ask(`POST /api/${kind}`, json(record)));
    await ask(`GET /api/${kind}`);
    await ask(`GET /api/${kind}/{id}`, undefined, id);
    await ask(`PATCH /api/${kind}/{id}`, json(change), id);
    await ask(`DELETE /api/${kind}/{id}`, undefined, id);
  });

  it("of step tablets is as described", async () => {
    const densities = Array.from({ length: 21 }, (_, i) => 0.05 + 0.15 * i);
    const id = idOf(await ask("POST /api/tablets", json({ name: "Office tablet", densities })));
    await ask("GET /api/tablets");
    await ask("GET /api/tablets/{id}", undefined, id);
    await ask("PATCH /api/tablets/{id}", json({ notes: "from its label" }), id);
    const printed = (seconds: number) => ({
      seconds,
      densities: densities.map((density) => logistic({ net: 1.4, middle: 1.6 })(Math.log10(seconds) - density)),
    });
    const exposures = [printed(400), printed(800)];
    await ask("POST /api/tablets/{id}/calibrations", json({ exposures }), id);
    await ask("GET /api/tablets/{id}/in-light", undefined, id);
    await ask("DELETE /api/tablets/{id}", undefined, id);
  });

  it("of tests and what is drawn from them is as described", async () => {
    const asks = { tablet, ...materials, exposureSeconds: 900, madeAt: "2026-05-01T10:00:00+02:00" };
    await ask("POST /api/readings", form({ tablet }));
    const first = idOf(await ask("POST /api/tests", form(asks)));
    const second = idOf(await ask("POST /api/tests", form({ ...asks, name: "again", lampHours: 12 })));
    await ask("GET /api/tests/{id}", undefined, first);
    await ask("GET /api/tests");
    await ask("PATCH /api/tests/{id}", json({ notes: "looked at again" }), first);
    await ask("GET /api/exposures", (test) => test.query(materials));
    await ask("GET /api/exposures", (test) => test.query({ ...materials, lampId: materials.lampId, share: 0.8 }));
    await ask("POST /api/comparisons", json({ testIds: [first, second] }));
    const evenness = { kind: "exposure", testId: first, corners, bedWidthMm: 600, bedHeightMm: 450 };
    await ask("POST /api/evenness", form(evenness));
    const shared = await ask("GET /api/calibrations", (test) => test.query({ testIds: second }));
    await ask("DELETE /api/tests/{id}", undefined, second);
    await ask("POST /api/calibrations", (test) => test.attach("calibrations", Buffer.from(shared.text), "c.json"));
  });

  it("of sheets, tone curves and negatives is as described", async () => {
    const sheet = await saveCheckSheet(store, { printedFor: "lightness" });
    const shown = await ask("GET /api/tests/{id}", undefined, sheet);
    expect(shown.body).toHaveProperty("reading.sheet.correctionMark");
    for (const ending of ["", ".json", ".csv", ".txt", ".cube", ".icc", ".png"])
      await ask(`GET /api/tests/{id}/correction${ending}`, undefined, sheet);
    await ask("GET /api/tests/{id}/sheet-check", undefined, sheet);
    await ask("GET /api/sheets/default.png", (test) => test.query({ dpi: 100 }));
    await ask("GET /api/sheets/default.pdf", (test) => test.query({ dpi: 100 }));
    const wish = { testId: sheet, widthMm: 50, dpi: 100, format: "png" };
    await ask("POST /api/negatives", form(wish));
    const started = await form(wish)(request(app).post("/api/negatives").query({ wait: "false" })).expect(202);
    const job = idOf(started);
    expectStrictly("NegativeProgress", started.body, "POST /api/negatives?wait=false");
    await expect
      .poll(async () => (await request(app).get(`/api/negatives/${job}`)).body as unknown)
      .toMatchObject({ state: "done" });
    await ask("GET /api/negatives/{id}", undefined, job);
    await ask("GET /api/negatives/{id}/file", undefined, job);
    await ask("DELETE /api/negatives/{id}", undefined, job);
    const listed = await ask("GET /api/made-negatives");
    const made = (listed.body as { negatives: { id: string }[] }).negatives[0]?.id ?? "";
    await ask("GET /api/made-negatives/{id}", undefined, made);
    await ask("PATCH /api/made-negatives/{id}", json({ settingsName: "Small, on A4" }), made);
    await ask("DELETE /api/made-negatives/{id}", undefined, made);
    await ask("GET /api/sheets/ink.png", (test) => test.query({ dpi: 100 }));
    await ask("GET /api/sheets/ink.pdf", (test) => test.query({ dpi: 100, inks: "black,green" }));
    await ask("POST /api/ink-sheets", form({}));
    await ask("POST /api/negatives/series", form({ ...wish, format: "pdf" }));
    const moves = [{ level: 128, byLevels: 4 }];
    const curve = idOf(
      await ask("POST /api/curves", json({ testId: sheet, blend: { testId: sheet, share: 0.5 }, moves })),
    );
    await ask("GET /api/curves");
    const strip = idOf(await ask("POST /api/tests", form({ tablet, ...materials, exposureSeconds: 900 })));
    await ask("POST /api/photograms", form({ testId: strip, exposureSeconds: 900, spots: [[10, 10]] }));
    await ask("GET /api/curves/{id}", undefined, curve);
    await ask("DELETE /api/curves/{id}", undefined, curve);
    const printer = idOf(await ask("POST /api/printers", json({ name: "Wide one", dpi: 720 })));
    await ask("GET /api/printers");
    await ask("GET /api/printers/{id}", undefined, printer);
    await ask("PATCH /api/printers/{id}", json({ filmIds: [materials.filmId] }), printer);
    await ask("DELETE /api/printers/{id}", undefined, printer);
  });

  it("of a measured film is as described", async () => {
    const levels = Array.from({ length: 16 }, (_, i) => i * 17);
    const common = { ...materials, madeAt: "2026-05-02T10:00:00+02:00", exposureSeconds: 900 };
    await ask("POST /api/tests", form({ ...common, tablet }));
    const strip = idOf(await ask("POST /api/tests", form({ ...common, tablet: { kind: "levels", levels } })));
    await ask("GET /api/tests/{id}/film", undefined, strip);
  });

  it("of the sun is as described, with and without a time", async () => {
    const test = await saveSunTest(store);
    const plan = { latitude: 38.72, longitude: -9.14, startAt: "2026-06-12T12:00:00+01:00" };
    const planned = await ask("POST /api/sun/exposures", json({ ...plan, anchorTestId: test.id }));
    expect(planned.body).toMatchObject({ verdict: "ok" });
    await ask("POST /api/sun/exposures", json(plan));
    await ask("POST /api/sun/exposures", json({ ...plan, startAt: "2026-06-12T01:00:00+01:00", dose: 5000 }));
    const anchor = { ...plan, startAt: undefined, name: "Lace", startedAt: plan.startAt };
    const kept = await ask("POST /api/sun/anchors", json({ ...anchor, endedAt: "2026-06-12T12:10:00+01:00" }));
    await ask("GET /api/sun/anchors");
    await ask("GET /api/sun/anchors/{id}", undefined, idOf(kept));
    await ask("DELETE /api/sun/anchors/{id}", undefined, idOf(kept));
    const frame = idOf(
      await ask("POST /api/sun/frames", json({ name: "Fern", plan: { ...plan, anchorTestId: test.id } })),
    );
    const negatives = [{ name: "Fern", anchorTestIds: [test.id] }, { name: "Lace" }];
    await ask("POST /api/sun/day-plans", json({ plan, negatives, frames: 2 }));
    await ask("GET /api/sun/frames");
    await ask("GET /api/sun/frames/{id}", undefined, frame);
    await ask("GET /api/sun/frames/{id}/calendar.ics", undefined, frame);
    await ask("PATCH /api/sun/frames/{id}", json({ endedAt: "2026-06-12T12:05:00+01:00", cloudMinutes: 1 }), frame);
    const sun = { latitude: 38.72, longitude: -9.14, startedAt: plan.startAt, tiltDegrees: 0, facingDegrees: 0 };
    const common = { ...materials, exposureSeconds: 900, sun };
    const curveTestId = idOf(await ask("POST /api/tests", form({ ...common, tablet })));
    const strip = { ...common, tablet: { kind: "timed", seconds: [300, 150, 75, 40] } };
    const stripTestId = idOf(await ask("POST /api/tests", form(strip)));
    await ask("POST /api/sun/frames/{id}/witness", json({ stripTestId, curveTestId }), frame);
    await ask("POST /api/sun/frames/{id}/anchor", json({ neededStops: 0, sure: true }), frame);
    await ask("DELETE /api/sun/frames/{id}", undefined, frame);
  });

  it("of prints is as described", async () => {
    const id = idOf(await ask("POST /api/prints", json({ ...materials, exposureSeconds: 600 })));
    await ask("GET /api/prints");
    await ask("GET /api/prints/{id}", undefined, id);
    await ask("PATCH /api/prints/{id}", json({ outcome: "right" }), id);
    await ask("PUT /api/prints/{id}/picture", (test) => test.attach("photo", picture, "p.jpg"), id);
    await ask("DELETE /api/prints/{id}", undefined, id);
  });

  it("of a studio of several people and of its cloth is as described", async () => {
    const tubes = { kind: "tubes", scope: "lamp", scopeId: materials.lampId, at: "2026-05-01" };
    const change = idOf(await ask("POST /api/changes", json(tubes)));
    await ask("GET /api/changes");
    await ask("DELETE /api/changes/{id}", undefined, change);
    await ask("PUT /api/studio", json({ name: "Studio North" }));
    await ask("GET /api/studio");
    await ask("POST /api/queue", json({ who: "Ada", lampId: materials.lampId }));
    const waiting = idOf(await ask("POST /api/queue", json({ who: "Ben" })));
    await ask("GET /api/queue");
    await ask("PATCH /api/queue/{id}", json({ move: "up" }), waiting);
    await ask("DELETE /api/queue/{id}", undefined, waiting);
    const test = idOf(await ask("POST /api/tests", form({ tablet, ...materials, exposureSeconds: 900 })));
    await ask("GET /api/boxes", (asks) => asks.query(materials));
    await ask("PUT /api/tests/{id}/counting", json({ leftOutReason: "wet hands" }), test);
    await ask("GET /api/left-out");
    await ask("PUT /api/tests/{id}/counting", json({ leftOutReason: null }), test);
    for (const table of ["tests", "steps", "prints"]) await ask(`GET /api/records/${table}.csv`);
    await ask("GET /api/log.csv", (asks) => asks.query({ year: 2026 }));
    await ask("GET /api/log.pdf", (asks) => asks.query({ year: 2026 }));
    const marks = { beforeMm: 200, alongMm: [190, 191], acrossMm: [197] };
    await ask("POST /api/supports/{id}/shrinkage", json(marks), materials.supportId);
    const size = { finishedWidthMm: 300, finishedHeightMm: 400, repeatMm: 100 };
    await ask("GET /api/supports/{id}/cloth", (asks) => asks.query(size), materials.supportId);
    const later = idOf(await ask("POST /api/tests/{id}/fading", form({ washes: 1 }), test));
    await ask("POST /api/tests/{id}/fading", form({ washes: 5 }), test);
    await ask("GET /api/tests/{id}/fading", undefined, test);
    await ask("PATCH /api/fading/{id}", (test) => test.send({ washes: 2, corners }), later);
    await ask("DELETE /api/fading/{id}", undefined, later);
  });

  it("of samples and backups is as described", async () => {
    expect(await readFile(join(rootDir, "samples", "studio.json"), "utf8")).toContain("invented");
    await ask("POST /api/samples");
    const archive = await ask("GET /api/backup", (test) =>
      test.parse((response, done) => {
        const chunks: Buffer[] = [];
        response.on("data", (chunk: Buffer) => chunks.push(chunk));
        response.on("end", () => done(null, Buffer.concat(chunks)));
      }),
    );
    const send = (test: Test): Test => test.type("application/x-tar").send(archive.body as Buffer);
    const held = await ask("POST /api/restore", (test) => send(test.query({ preview: "true" })));
    await ask("POST /api/restore/{id}", undefined, idOf(held));
    await ask("POST /api/restore", send);
  });

  it("was looked at", () => {
    expect(Object.keys(operations).filter((route) => !asked.has(route))).toEqual([]);
  });
});
