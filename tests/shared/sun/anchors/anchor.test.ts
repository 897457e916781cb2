import { describe, expect, it } from "vitest";
import { anchorFrom, fittedHaze, type AnchorExposure } from "#shared/sun/anchors/anchor.ts";
import { countedDose } from "#shared/sun/frames/counted-dose.ts";
import { anchorExposureOfTest, type AnchorTest } from "#shared/sun/anchors/anchor-test.ts";
import { combinedAnchors } from "#shared/sun/anchors/combined-anchors.ts";
import { modelRange } from "#shared/sun/sky/model-range.ts";
import { sceneFrom } from "#shared/sun/sky/scene.ts";

const scene = sceneFrom({ latitude: 38.72, longitude: -9.14, tiltDegrees: 0, facingDegrees: 0 });
const noonMs = Date.parse("2026-06-10T13:00:00+01:00");
const minuteMs = 60_000;

function exposure(change: Partial<AnchorExposure> = {}): AnchorExposure {
  return {
    scene,
    startMs: noonMs,
    exposureSeconds: 600,
    wantedMultiple: 1,
    lowerMultiple: 0.9,
    upperMultiple: 1.1,
    ...change,
  };
}

describe("countedDose", () => {
  const outside = { startMs: noonMs, endMs: noonMs + 20 * minuteMs };
  const open = countedDose(scene, outside);

  it("with the sun free throughout, has no range", () => {
    expect(open.lowest).toBeCloseTo(open.likely, 6);
    expect(open.highest).toBeCloseTo(open.likely, 6);
  });

  it("with the sun hidden throughout, counts 0.45 of it, 0.25 to 0.75", () => {
    const hidden = countedDose(scene, {
      ...outside,
      hidden: [{ fromMs: outside.startMs - minuteMs, untilMs: outside.endMs + minuteMs }],
    });
    expect(hidden.likely / open.likely).toBeCloseTo(0.45, 9);
    expect(hidden.lowest / open.likely).toBeCloseTo(0.25, 9);
    expect(hidden.highest / open.likely).toBeCloseTo(0.75, 9);
  });

  it("when hidden stretches overlap or come out of order, counts each minute once", () => {
    const once = countedDose(scene, {
      ...outside,
      hidden: [{ fromMs: noonMs + 2 * minuteMs, untilMs: noonMs + 8 * minuteMs }],
    });
    const twice = countedDose(scene, {
      ...outside,
      hidden: [
        { fromMs: noonMs + 4 * minuteMs, untilMs: noonMs + 8 * minuteMs },
        { fromMs: noonMs + 2 * minuteMs, untilMs: noonMs + 6 * minuteMs },
      ],
    });
    expect(twice.likely).toBeCloseTo(once.likely, 6);
  });

  it("before the frame goes out, is nothing", () => {
    expect(countedDose(scene, { startMs: noonMs, endMs: noonMs - minuteMs })).toEqual({
      likely: 0,
      lowest: 0,
      highest: 0,
    });
  });
});

describe("anchorFrom", () => {
  it("when the wanted tone needs half the dose, is half the dose of the whole print", () => {
    const whole = anchorFrom("a", exposure());
    expect((anchorFrom("a", exposure({ wantedMultiple: 0.5 }))?.dose ?? NaN) / (whole?.dose ?? NaN)).toBeCloseTo(
      0.5,
      12,
    );
  });

  it("when minutes were hidden, states a wider range", () => {
    const free = anchorFrom("a", exposure());
    const hidden = anchorFrom("a", exposure({ hidden: [{ fromMs: noonMs, untilMs: noonMs + 3 * minuteMs }] }));
    expect(hidden?.dose ?? NaN).toBeLessThan(free?.dose ?? NaN);
    expect(hidden?.lowerLn ?? NaN).toBeGreaterThan(free?.lowerLn ?? NaN);
    expect(hidden?.upperLn ?? NaN).toBeGreaterThan(free?.upperLn ?? NaN);
  });

  it("at midnight, is none", () => {
    expect(anchorFrom("a", exposure({ startMs: noonMs + 12 * 60 * minuteMs }))).toBeNull();
  });
});

describe("fittedHaze", () => {
  /** Anchors as a sky of this haze would give them, believed to be ordinary air. */
  function anchorsUnder(haze: number, times: readonly number[]): AnchorExposure[] {
    const dose = 50_000;
    return times.map((startMs) => {
      const got = anchorFrom("", exposure({ startMs, scene: { ...scene, haze } }))?.dose ?? NaN;
      return exposure({
        startMs,
        wantedMultiple: dose / got,
        lowerMultiple: (dose / got) * 0.95,
        upperMultiple: (dose / got) * 1.05,
      });
    });
  }
  const noonAndEvening = [noonMs, noonMs + 5 * 60 * minuteMs];

  it.each([0.05, 0.1, 0.3])("from noon and evening under a haze of %d, finds it", (haze) => {
    const fit = fittedHaze(anchorsUnder(haze, noonAndEvening));
    expect(Math.abs((fit?.haze ?? NaN) / haze - 1)).toBeLessThan(0.05);
    expect(fit?.spreadAfter ?? NaN).toBeLessThan(0.002);
    expect(fit?.atBound).toBe(false);
  });

  it("when no haze explains the anchors, stops at the bound and says so", () => {
    const [noon, evening] = anchorsUnder(0.1, noonAndEvening) as [AnchorExposure, AnchorExposure];
    const fit = fittedHaze([noon, { ...evening, wantedMultiple: evening.wantedMultiple * 2 }]);
    expect(fit?.atBound).toBe(true);
    expect(fit?.haze ?? NaN).toBeGreaterThanOrEqual(0.02);
    expect(fit?.haze ?? NaN).toBeLessThanOrEqual(0.6);
  });

  it("when the sun stood equally high, or the days differ, is none", () => {
    expect(fittedHaze(anchorsUnder(0.1, [noonMs, noonMs + 30 * minuteMs]))).toBeNull();
    expect(fittedHaze(anchorsUnder(0.1, [noonMs, noonMs + 29 * 60 * minuteMs]))).toBeNull();
    expect(fittedHaze(anchorsUnder(0.1, [noonMs]))).toBeNull();
  });
});

describe("combinedAnchors", () => {
  const situation = { zenithDegrees: 25, middleMs: noonMs, scene };
  const anchor = (dose: number, ln = 0.08) =>
    ({
      name: "",
      dose,
      lowerLn: ln,
      upperLn: ln,
      zenithDegrees: 20,
      middleMs: noonMs,
      scene,
    }) as const;

  it("with one anchor, is that anchor with its own range and the model's", () => {
    const wanted = combinedAnchors([anchor(1000)], situation);
    expect(wanted.dose).toBeCloseTo(1000, 9);
    expect(wanted.lowerLn).toBeCloseTo(Math.hypot(0.08, 0.1), 9);
    expect(wanted.spreadLn).toBeNull();
  });

  it("with two equal anchors, is their geometric mean and narrower; when they disagree, wider", () => {
    const agreeing = combinedAnchors([anchor(1000), anchor(1020)], situation);
    expect(agreeing.dose).toBeCloseTo(Math.sqrt(1000 * 1020), 6);
    expect(agreeing.lowerLn).toBeLessThan(Math.hypot(0.08, 0.1));
    const torn = combinedAnchors([anchor(1000), anchor(1600)], situation);
    expect(torn.spreadLn ?? NaN).toBeCloseTo(Math.log(1.6) / Math.SQRT2, 9);
    expect(torn.lowerLn).toBeGreaterThan(0.2);
  });

  it("with a vague anchor beside a good one, follows the good one", () => {
    expect(combinedAnchors([anchor(1000), anchor(1600, 0.8)], situation).dose).toBeLessThan(1015);
  });
});

describe("modelRange", () => {
  const scene = sceneFrom({ latitude: 45, longitude: 5, tiltDegrees: 0, facingDegrees: 180 });
  const near = { zenithDegrees: 30, middleMs: noonMs, scene };
  const days = (n: number): number => noonMs + n * 24 * 60 * minuteMs;

  it.each([
    ["the same hour", { zenithDegrees: 30, middleMs: noonMs }, 0.1, 0.1],
    ["20° lower on the same day", { zenithDegrees: 50, middleMs: noonMs }, 0.1, 0.1],
    ["zenith 30 against 70", { zenithDegrees: 70, middleMs: noonMs }, 0.1, 0.15],
    ["the same height in another season", { zenithDegrees: 30, middleMs: days(180) }, 0.17, 0.19],
    ["the same height a year later", { zenithDegrees: 30, middleMs: days(365) }, 0.1, 0.1],
    ["a sun beyond zenith 75", { zenithDegrees: 76, middleMs: noonMs }, 0.25, 0.25],
  ])("for %s, stays in the stated band", (_name, exposureSituation, least, most) => {
    const { share } = modelRange(near, { ...exposureSituation, scene });
    expect(share).toBeGreaterThanOrEqual(least - 1e-9);
    expect(share).toBeLessThanOrEqual(most + 1e-9);
  });

  it.each([
    // A valley's anchor for a print 2 km up: measured gain 18 % (BlumthalerEtAl1997), the model's own about 10.
    ["two kilometres higher", { elevationM: 2000 }, 0.15, 0.17],
    // Two models of the sky give 1.50 and 1.28 for a frame turned to a sun 30° high.
    ["tilted by 60°", { tiltDegrees: 60 }, 0.14, 0.15],
    ["tilted as the anchor's, facing away", { tiltDegrees: 0, facingDegrees: 10 }, 0.1, 0.1],
    ["on fresh snow", { ground: "snow" as const }, 0.21, 0.23],
    ["another region", { latitude: 52 }, 0.14, 0.15],
    ["the next village", { latitude: 45.1 }, 0.1, 0.1],
    ["much hazier air", { haze: 0.3 }, 0.14, 0.16],
  ])("for the same sun, but %s, costs something", (_name, change, least, most) => {
    const other = sceneFrom({ latitude: 45, longitude: 5, tiltDegrees: 0, facingDegrees: 180, ...change });
    const { share } = modelRange(near, { ...near, scene: other });
    expect(share).toBeGreaterThanOrEqual(least - 1e-9);
    expect(share).toBeLessThanOrEqual(most + 1e-9);
  });

  it("without an anchor's circumstances, is as wide as another season far away", () => {
    expect(modelRange(null, near).share).toBeGreaterThan(0.2);
  });
});

describe("anchorExposureOfTest", () => {
  const sun = {
    latitude: 38.72,
    longitude: -9.14,
    startedAt: "2026-06-10T13:00:00+01:00",
    tiltDegrees: 0,
    facingDegrees: 0,
  };
  const advice = {
    seconds: 400,
    lowerSeconds: 360,
    upperSeconds: 450,
    targetShare: 0.9,
    filmDensity: 0.05,
    verdict: "ok",
    nextTestSeconds: null,
    reasons: [],
  } as const;
  const test: AnchorTest = {
    exposure: advice,
    request: {
      sun,
      exposureSeconds: 600,
      tablet: { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 },
    },
  };

  it("for a film tablet, wants the advised share of the test's dose", () => {
    const anchor = anchorExposureOfTest(test, "sun");
    expect(anchor).toMatchObject({ exposureSeconds: 600, startMs: noonMs });
    if (typeof anchor === "string") throw new Error(anchor);
    expect(anchor.wantedMultiple).toBeCloseTo(400 / 600, 12);
    expect(anchor.lowerMultiple).toBeCloseTo(360 / 600, 9);
    expect(anchor.upperMultiple).toBeCloseTo(450 / 600, 9);
  });

  it("for a timed strip late in the day, widens the range by the sun's drift", () => {
    const evening = { ...sun, startedAt: "2026-06-10T18:30:00+01:00" };
    const timed = anchorExposureOfTest(
      {
        exposure: advice,
        request: {
          sun: evening,
          exposureSeconds: undefined,
          tablet: { kind: "timed", seconds: [1600, 800, 400, 200] },
        },
      },
      "sun",
    );
    if (typeof timed === "string") throw new Error(timed);
    expect(timed.exposureSeconds).toBe(1600);
    expect(timed.lowerMultiple / timed.wantedMultiple).toBeLessThan(360 / 400);
    expect(timed.upperMultiple / timed.wantedMultiple).toBeGreaterThan(450 / 400);
  });

  it("under a lamp of kind shade, stands in open shade", () => {
    const anchor = anchorExposureOfTest(test, "shade");
    expect(typeof anchor === "string" ? anchor : anchor.scene.light).toBe("open-shade");
  });

  it.each([
    ["no-sun-conditions", { ...test, request: { ...test.request, sun: null } }],
    ["no-advice", { ...test, exposure: { ...advice, seconds: null } }],
    ["no-exposure-time", { ...test, request: { ...test.request, exposureSeconds: undefined } }],
    ["under-cloud", { ...test, request: { ...test.request, sun: { ...sun, sky: "overcast" as const } } }],
  ] as const)("when it cannot serve, says %s", (reason, unfit) => {
    expect(anchorExposureOfTest(unfit, "sun")).toBe(reason);
  });
});
