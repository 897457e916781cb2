// A thing printed under another sun than its strip, by page and API, in both halves of the earth.
import request from "supertest";
import { describe, expect, it } from "vitest";
import { fitCharacteristicCurve } from "#shared/curve/fit-characteristic-curve.ts";
import { fakeImaging } from "../../support/fake-imaging.ts";
import {
  placesOfBothHalves,
  serverClockOf,
  shownSeconds,
  timeOfDay,
  dayOf,
} from "../../support/studios/places-of-both-halves.ts";
import { sampleTestRecord, savePicture, saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { measuredReading, tablet21 } from "../../support/studios/synthetic-test.ts";
import { testApp } from "../../support/test-app.ts";

// An invented coating: D = 2 / (1 + exp(-4 (log H - 2))), printed through 21 steps for ten minutes.
const blue = (logH: number): number => 2 / (1 + Math.exp(-4 * (logH - 2)));
const logHOf = (index: number): number => Math.log10(600) - 0.05 - 0.15 * index;
const steps = Array.from({ length: 21 }, (_, index) => ({
  index: index + 1,
  logH: logHOf(index),
  sigmaLogH: 0,
  density: blue(logHOf(index)),
  sigma: 0.005,
  isFlagged: false,
}));
const matched = 8;
const strip = measuredReading(
  tablet21,
  steps.map(({ density }) => density),
);

// Made here, so that their folders last as long as the file's tests.
const { app, store } = testApp({
  imaging: fakeImaging({
    "measure-spots": () => ({
      reading: { ...strip, image: { ...strip.image, profile: { code: "untagged" } }, warnings: [] },
      spots: [{ density: blue(logHOf(matched - 1)), sigma: 0.005 }],
    }),
  }),
});
const pictureId = await savePicture(store);

describe.each(placesOfBothHalves)("a photogram in the sun of $city", (place) => {
  serverClockOf(place);
  const { latitude, longitude, timeZone, summer, winter } = place;
  const save = (sun: object | null): string => {
    const record = sampleTestRecord(saveSampleMaterials(store), pictureId);
    const curve = fitCharacteristicCurve({ channel: "red", steps });
    const change = { tablet: tablet21, exposureSeconds: 600, ...(sun === null ? {} : { sun }) };
    return store.transaction(() =>
      store.tests.save({ ...record, curve, request: { ...record.request, ...change } as typeof record.request }),
    ).id;
  };
  const sun = { latitude, longitude, timeZone, startedAt: summer, tiltDegrees: 0, facingDegrees: 0 };
  const byApi = async (testId: string, startedAt?: string) => {
    const asked = { testId, exposureSeconds: 1200, startedAt, spots: [[10, 10]] };
    const { body } = await request(app)
      .post("/api/photograms")
      .field("request", JSON.stringify(asked))
      .attach("photo", Buffer.from("print"), "thing.png")
      .expect(200);
    return body.spots[0];
  };
  const page = async (testId: string, more = ""): Promise<string> =>
    (await request(app).get(`/objects?testId=${testId}&step=${matched}&minutes=20&seconds=0${more}`).expect(200)).text;

  it("asks when the thing went out, and carries it by its dose", async () => {
    const testId = save(sun);
    expect(await page(testId)).toContain("say also when the thing&#39;s exposure began");
    expect((await byApi(testId)).trouble).toContain("when the thing's exposure began");
    const [strong, weak] = [await byApi(testId, summer), await byApi(testId, winter)];
    // The weaker sun gave less, so the same image means a thing that held back less: by the two suns' ratio.
    const plan = async (startAt: string): Promise<number> =>
      (
        await request(app)
          .post("/api/sun/exposures")
          .send({ latitude, longitude, timeZone, startAt, dose: 1000 })
          .expect(200)
      ).body.seconds as number;
    const ratio = Math.log10((await plan(winter)) / (await plan(summer)));
    expect(strong.found.density - weak.found.density).toBeCloseTo(ratio, 1);
    // The page takes the thing's hour by the clock of the test's own place.
    const at = `&startedAt=${dayOf(winter)}T${timeOfDay(winter)}`;
    const text = await page(testId, at);
    const shown = /a density of (\d+\.\d+)/.exec(text)?.[1];
    expect(Math.abs(Number(shown) - weak.found.density)).toBeLessThan(0.03);
    const href = /href="(\/sun\?[^"]*dose=[^"]*)"/.exec(text)?.[1]?.replaceAll("&amp;", "&") ?? "";
    const planned = (await request(app).get(`${href}&date=${dayOf(summer)}&time=${timeOfDay(summer)}`)).text;
    expect(shownSeconds(planned)).toBeGreaterThan(0);
  });

  it("under a lamp the time is the answer, large, on the page as by the API", async () => {
    const testId = save(null);
    const text = await page(testId);
    const { found } = await byApi(testId);
    expect(text.indexOf("For a middle blue under the thing, expose for")).toBeLessThan(text.indexOf("It holds back"));
    expect(Math.abs(Math.log2(shownSeconds(text) / found.mid.seconds))).toBeLessThan(0.1);
  });
});
