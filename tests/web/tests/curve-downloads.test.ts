// The result's figure and what can be taken away from it.
import request from "supertest";
import { describe, expect, it } from "vitest";
import type { Curve } from "#shared/schema/curve.ts";
import { paintDrawing } from "#src/imaging/paint-drawing.ts";
import { curveFigure } from "#src/web/tests/curve-figure.ts";
import { stripCutout } from "#src/web/tests/strip-cutout.ts";
import { fakeImaging } from "../../support/fake-imaging.ts";
import { sampleTestRecord, saveSampleMaterials, savePicture } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

/** A curve by hand: an S through the five steps of the sample reading, with a step left out. */
const density = (logH: number): number => 1.35 / (1 + Math.exp(-4 * (logH - 2.2)));
const curve: Curve = {
  channel: "red",
  family: "symmetric-sigmoid",
  dMin: 0,
  dMax: 1.35,
  points: {
    toe: { logH: 1.4, density: 0.04 },
    mid: { logH: 2.15, density: 0.6 },
    shoulder: { logH: 2.6, density: 1.2 },
  },
  logExposureRange: 1.2,
  averageGradient: 0.97,
  samples: Array.from({ length: 25 }, (_, i) => 1.3 + i * 0.06).map((logH) => ({
    logH,
    density: density(logH),
    lower: density(logH) - 0.02,
    upper: density(logH) + 0.02,
  })),
  steps: [2.65, 2.35, 2.05, 1.75, 1.45].map((logH, i) => ({
    index: i + 1,
    logH,
    density: density(logH),
    sigma: 0.01,
    leftOut: i === 2 ? "wild" : null,
  })),
  sigmaLogH: { toe: 0.05, shoulder: 0.03 },
  shareSigmas: [],
  parameters: [],
  covariance: [],
  residualDensity: 0.01,
  degreesOfFreedom: 3,
  reversalFromLogH: null,
};

/** The straight line through the first and the last of some places. */
function linear(places: readonly (readonly [number, number])[]): (x: number) => number {
  const [[x0, y0], [x1, y1]] = [places[0] ?? [0, 0], places.at(-1) ?? [1, 1]];
  return (x) => y0 + ((x - x0) * (y1 - y0)) / (x1 - x0);
}

async function saved() {
  const { app, store } = testApp({
    imaging: fakeImaging({ "paint-drawing": (job) => paintDrawing(job as { svg: string }) }),
  });
  const materials = saveSampleMaterials(store);
  const record = sampleTestRecord(materials, await savePicture(store), { name: "Rag & <cotton>" });
  const test = store.tests.save({ ...record, curve });
  return { app, test };
}

describe("the curve over its strip", () => {
  it("puts each step of the strip under its dot, rising to the right", async () => {
    const { test } = await saved();
    const { drawings } = curveFigure(
      test.curve,
      test.exposure,
      test.reading,
      stripCutout(test.pictureId, test.reading),
    ) ?? { drawings: [] };
    expect(drawings.map(({ name }) => name)).toEqual(["wide", "narrow"]);
    for (const { cells, series, frame } of drawings) {
      const dots = series.find(({ kind }) => kind === "points")?.points.map(({ x }) => x) ?? [];
      expect(cells).toHaveLength(test.reading.steps.length);
      expect(cells.map(({ middle }) => middle)).toEqual([...dots].sort((a, b) => a - b));
      for (const [index, cell] of cells.slice(1).entries())
        expect(cell.x).toBeGreaterThanOrEqual((cells[index]?.x ?? 0) + (cells[index]?.width ?? 0) - 0.2);
      expect(frame.right).toBeGreaterThan(frame.left);
    }
  });

  it("draws the advised time at its log H behind the film, within its range", async () => {
    const { test } = await saved();
    const drawing = curveFigure(test.curve, test.exposure, test.reading, null)?.drawings[0];
    if (!drawing?.answer || test.exposure.seconds === null) throw new Error("There is no answer to look at.");
    const { xTicks, answer } = drawing;
    const logHAt = linear(xTicks.map(({ at, label }) => [at, Number(label)]));
    expect(logHAt(answer.x)).toBeCloseTo(Math.log10(test.exposure.seconds) - test.exposure.filmDensity, 1);
    expect(answer.left).toBeLessThan(answer.x);
    expect(answer.right).toBeGreaterThan(answer.x);
  });

  it("has no answer where no time is given", async () => {
    const { test } = await saved();
    const exposure = { ...test.exposure, seconds: null, lowerSeconds: null, upperSeconds: null };
    const drawing = curveFigure(test.curve, exposure, test.reading, null)?.drawings[0];
    expect(drawing?.answer).toBeNull();
    expect(drawing?.stops).toEqual([]);
  });
});

describe("the curve's files", () => {
  it("the table has a row for each step and each point of the curve", async () => {
    const { app, test } = await saved();
    const { text, headers } = await request(app).get(`/tests/${test.id}/curve.csv`).expect(200);
    expect(headers["content-disposition"]).toBe('attachment; filename="curve-Rag-cotton.csv"');
    const rows = text.trim().split("\r\n");
    const [, , , density = 0, lower = 0, upper = 0] = (rows[1] ?? "").split(",").map(Number);
    // 1.96 standard deviations of 0.01 to either side: 95 % of a normal distribution.
    expect(density - lower).toBeCloseTo(0.0196, 4);
    expect(upper - density).toBeCloseTo(0.0196, 4);
    expect(rows).toHaveLength(1 + (test.curve?.steps.length ?? 0) + (test.curve?.samples.length ?? 0));
  });

  it("drawing and picture show the same curve", async () => {
    const { app, test } = await saved();
    const drawing = await request(app).get(`/tests/${test.id}/curve.svg`).buffer(true).expect(200);
    expect(String(drawing.body)).toMatch(/^<svg[^>]+xmlns="http:\/\/www\.w3\.org\/2000\/svg"/);
    const { body } = await request(app).get(`/tests/${test.id}/curve.png`).buffer(true).expect(200);
    expect((body as Buffer).subarray(1, 4).toString()).toBe("PNG");
  });

  it("a test without a curve says so", async () => {
    const { app, store } = testApp();
    const materials = saveSampleMaterials(store);
    const record = { ...sampleTestRecord(materials, await savePicture(store)), curve: null };
    const { id } = store.tests.save(record);
    await request(app).get(`/tests/${id}/curve.svg`).set("Accept", "text/html").expect(404);
  });
});
