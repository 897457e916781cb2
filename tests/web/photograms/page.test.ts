import request from "supertest";
import { describe, expect, it } from "vitest";
import { fitCharacteristicCurve } from "#shared/curve/fit-characteristic-curve.ts";
import { countedDose } from "#shared/sun/frames/counted-dose.ts";
import { sceneFrom } from "#shared/sun/sky/scene.ts";
import type { TestRequest } from "#shared/schema/test.ts";
import type { Store } from "#src/store/store.ts";
import { readPhotogram } from "#src/studio/negatives/read-photogram.ts";
import { sampleTestRecord, savePicture, saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { lisbonNoon } from "../../support/studios/sun-tests.ts";
import { testApp } from "../../support/test-app.ts";

// An invented coating: D = 2 / (1 + exp(-4 (log H - 2))), printed through 21 steps for ten minutes.
const blue = (logH: number): number => 2 / (1 + Math.exp(-4 * (logH - 2)));
const steps = Array.from({ length: 21 }, (_, index) => {
  const logH = Math.log10(600) - 0.05 - 0.15 * index;
  return { index: index + 1, logH, sigmaLogH: 0, density: blue(logH), sigma: 0.005, isFlagged: false };
});

async function saveCurveTest(store: Store, changes: Partial<TestRequest> = {}): Promise<string> {
  const record = sampleTestRecord(saveSampleMaterials(store), await savePicture(store));
  const curve = fitCharacteristicCurve({ channel: "red", steps });
  const change = { exposureSeconds: 600, ...changes };
  return store.transaction(() => store.tests.save({ ...record, curve, request: { ...record.request, ...change } })).id;
}

describe("photograms", () => {
  it("under a lamp, lead with the time of a middle blue and its range", async () => {
    const { app, store } = testApp();
    const id = await saveCurveTest(store);
    const { text } = await request(app).get(`/objects?testId=${id}&step=8&minutes=20&seconds=0`).expect(200);
    const step = steps[7]!;
    const found = readPhotogram({ store }, { testId: id, step: 8, exposureSeconds: 1200 });
    if (typeof found === "string" || found.mid === null) throw new Error("no answer");
    // The thing held back what parts its own exposure from the step's.
    expect(found.density).toBeCloseTo(Math.log10(1200) - step.logH, 1);
    // A middle blue, 0.60, lies at log H 2 + ln(0.6 / 1.4) / 4 of this coating.
    expect(Math.log10(found.mid.seconds)).toBeCloseTo(2 + Math.log(0.6 / 1.4) / 4 + found.density, 1);
    expect(found.mid.upperSeconds / found.mid.lowerSeconds).toBeCloseTo(10 ** 0.15, 2);
    expect(text).toContain("For a middle blue under the thing, expose for");
    expect(text).toMatch(/answer-time">\d+:\d\d</);
  });

  it("count the film that lay over the tablet alone to the thing", async () => {
    const { store } = testApp();
    const [bare, filmed] = [await saveCurveTest(store), await saveCurveTest(store, { filmInTest: true })];
    const density = (testId: string): number => {
      const found = readPhotogram({ store }, { testId, step: 8, exposureSeconds: 1200 });
      return typeof found === "string" ? Number.NaN : found.density;
    };
    expect(density(filmed) - density(bare)).toBeCloseTo(0.1, 9);
  });

  it("in the sun, ask when the thing went out, carry it by its dose, and lead to the planner", async () => {
    const { app, store } = testApp();
    const id = await saveCurveTest(store, { sun: { ...lisbonNoon, timeZone: "Europe/Lisbon" } });
    const query = `/objects?testId=${id}&step=8&minutes=20&seconds=0`;
    expect((await request(app).get(query).expect(200)).text).toContain("say also when the thing&#39;s exposure began");
    const scene = sceneFrom({ ...lisbonNoon, sky: "clear" });
    const dose = (at: string, seconds: number): number =>
      countedDose(scene, { startMs: Date.parse(at), endMs: Date.parse(at) + seconds * 1000 }).likely;
    const at = (startedAt: string): number => {
      const found = readPhotogram({ store }, { testId: id, step: 8, exposureSeconds: 1200, startedAt });
      return typeof found === "string" ? Number.NaN : found.density;
    };
    const [june, november] = ["2026-06-10T13:30:00+01:00", "2026-11-10T13:30:00+00:00"];
    // The weaker November sun gave less, so the same image means a thing that held back less, by just the ratio of
    // doses.
    expect(at(june) - at(november)).toBeCloseTo(Math.log10(dose(june, 1200) / dose(november, 1200)), 6);
    const { text } = await request(app).get(`${query}&startedAt=2026-11-10T13:30`).expect(200);
    const href = /href="(\/sun\?[^"]*dose=[^"]*)"/.exec(text)?.[1]?.replaceAll("&amp;", "&") ?? "";
    const plan = (await request(app).get(`${href}&date=2026-06-10&time=13:30`).expect(200)).text;
    expect(plan).toMatch(/answer-time"><span aria-hidden="true">\d+:\d\d</);
  });

  it("at a step as deep as the curve goes, or in the dark, say so", async () => {
    const { app, store } = testApp();
    const id = await saveCurveTest(store);
    expect((await request(app).get(`/objects?testId=${id}&step=1&minutes=20`)).text).toContain("says nothing about");
    const sunny = await saveCurveTest(store, { sun: lisbonNoon });
    const night = `/objects?testId=${sunny}&step=8&minutes=20&startedAt=2026-06-10T23:30`;
    expect((await request(app).get(night)).text).toContain("lay in the dark");
  });
});
