// The report of a test whose curve says nothing must still be a report, made at once.
import request from "supertest";
import { describe, expect, it } from "vitest";
import { assessTest } from "#shared/advice/assess-test.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import type { Curve } from "#shared/schema/curve.ts";
import { makePreview } from "#src/imaging/decode/preview.ts";
import { fakeImaging } from "../../support/fake-imaging.ts";
import { sampleTestRecord, saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { logistic, syntheticReading, testRequest } from "../../support/studios/synthetic-test.ts";
import { testApp } from "../../support/test-app.ts";
import sharp from "sharp";

const imaging = fakeImaging({ preview: (job) => makePreview(job as never) });
const { app, store } = testApp({ imaging });

async function saveTestWith(curve: Curve): Promise<string> {
  const materials = saveSampleMaterials(store);
  const bytes = await sharp({ create: { width: 60, height: 20, channels: 3, background: "#8899aa" } })
    .jpeg()
    .toBuffer();
  const picture = await store.pictures.write(bytes);
  return store.transaction(
    () => store.tests.save({ ...sampleTestRecord(materials, store.pictures.keep(picture)), curve }).id,
  );
}

/** Enough of them for wild bands to be among them. */
const jumbledCount = 30;

function* jumbledCurves(): Generator<Curve> {
  for (let seed = 0; seed < jumbledCount; seed++) {
    const curve = jumbledCurve(seed);
    if (curve !== null) yield curve;
  }
}

/** A strip whose times were typed in a wrong order: the densities jump. */
function jumbledCurve(seed: number): Curve | null {
  const random = seededRandom(seed);
  const seconds = [75, 106, 150, 212, 300, 424, 600, 849, 1200].sort(() => random.uniform() - 0.5);
  const request = testRequest({ tablet: { kind: "timed", seconds } });
  const sorted = [...seconds].sort((a, b) => b - a);
  const density = logistic({ net: 1.4, middle: 2.3 });
  const reading = syntheticReading({
    tablet: request.tablet,
    exposureSeconds: 1,
    density: (logH) => density(Math.log10(sorted[seconds.findIndex((each) => Math.log10(each) === logH)] ?? 1)),
    noise: () => 0.01 * random.normal(),
  });
  return assessTest({ request, reading, filmDensity: 0 } as never).curve;
}

describe("the report of a test with a wild curve", () => {
  it(
    "whose saved band reaches 3e14 comes at once and is short, and so does its page",
    { timeout: 20_000 },
    async () => {
      const curve: Curve = jumbledCurves().next().value!;
      const wild: Curve = {
        ...curve,
        samples: curve.samples.map((sample) => ({ ...sample, lower: -3e14, upper: 3e14 })),
      };
      const id = await saveTestWith(wild);
      const startedAt = Date.now();
      const report = await request(app).get(`/tests/${id}/report.pdf`);
      expect(report.status).toBe(200);
      expect(report.headers["content-type"]).toMatch(/pdf/);
      expect(Number(report.headers["content-length"])).toBeLessThan(300_000);
      const page = await request(app).get(`/tests/${id}`).set("Accept", "text/html");
      expect(page.status).toBe(200);
      expect(page.text.length).toBeLessThan(400_000);
      expect(Date.now() - startedAt).toBeLessThan(10_000);
    },
  );

  it("of steps in a jumbled order keeps its band within what any print can differ", () => {
    const curves = [...jumbledCurves()];
    expect(curves.length).toBeGreaterThan(10);
    expect(curves.flatMap(({ samples }) => samples).some(({ upper, density }) => upper - density > 5.9)).toBe(true);
    for (const { samples } of curves)
      for (const { density, lower, upper } of samples) {
        expect(upper - density).toBeLessThanOrEqual(6.000001);
        expect(density - lower).toBeLessThanOrEqual(6.000001);
      }
  });
});
