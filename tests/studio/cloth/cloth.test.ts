// Cloth and fading through the acts, in a real store. Expected values by hand arithmetic.
import { describe, expect, it } from "vitest";
import { printRequestSchema } from "#shared/schema/prints.ts";
import { clothPlanQuerySchema } from "#shared/schema/workshop/cloth.ts";
import { fadingRequestSchema } from "#shared/schema/workshop/fading.ts";
import { noCamera, unknownCamera } from "#shared/reading/camera/camera-term.ts";
import { InputError } from "#shared/errors.ts";
import type { Corners } from "#shared/schema/reading.ts";
import type { ReadingJob } from "#src/imaging/jobs.ts";
import { keepShrinkage, planCloth } from "#src/studio/cloth/plan-cloth.ts";
import { changeFading, fadingOf, forgetFading, readFading, readFadingAnew } from "#src/studio/cloth/read-fading.ts";
import { beginPrint, changePrint } from "#src/studio/keep-print.ts";
import { changeMaterial } from "#src/studio/materials/keep-material.ts";
import { bringBack, emptyBin, inBin, sweepBin } from "#src/studio/safekeeping/bin.ts";
import { rereadTest } from "#src/studio/tests/reread-test.ts";
import { deleteTest } from "#src/studio/tests/delete-test.ts";
import { fakeImaging } from "../../support/fake-imaging.ts";
import { sampleReading, saveSampleMaterials, saveSampleTest } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

describe("planCloth", () => {
  it("reckons size, metres, sensitizer and cost from what is known of the cloth and its prints", () => {
    const { store } = testApp();
    const materials = saveSampleMaterials(store);
    const id = materials.supportId;
    changeMaterial({ store }, { kind: "supports", id, changes: { cloth: { widthMm: 1400, pricePerMetre: 12 } } });
    keepShrinkage({ store }, id, { beforeMm: 200, alongMm: [190, 190, 190], acrossMm: [196, 196, 196] });
    for (const coatingMl of [2, 2, 2]) {
      const { id: printId } = beginPrint({ store }, printRequestSchema.parse({ ...materials, exposureSeconds: 60 }));
      changePrint({ store }, printId, { areaCm2: 250, coatingMl });
    }
    const query = {
      finishedWidthMm: 392,
      finishedHeightMm: 475,
      allowanceMm: 25,
      pieces: 4,
      repeatMm: 95,
      pricePerMl: 0.5,
    };
    const plan = planCloth({ store }, id, clothPlanQuerySchema.parse(query));
    // 392 / 0.98 and 475 / 0.95; each with 25 mm on both sides; three across 1400 mm.
    expect(plan.print.across.mm).toBeCloseTo(400, 6);
    expect(plan.print.along.mm).toBeCloseTo(500, 6);
    expect(plan.cut.widthMm).toBeCloseTo(450, 6);
    expect(plan.yardage).toMatchObject({ across: 3, rows: 2 });
    expect(plan.yardage?.lengthMm).toBeCloseTo(1100, 6);
    expect(plan.repeat?.mm).toBeCloseTo(100, 6);
    // 2 ml on 250 cm² are 80 ml a square metre; a print has 0.2 m².
    expect(plan.coating).toMatchObject({ prints: 3 });
    expect(plan.coating?.mlPerM2).toBeCloseTo(80, 6);
    expect(plan.coating?.mlPerPrint).toBeCloseTo(16, 6);
    expect(plan.coating?.mlPerMetre).toBeCloseTo(112, 6);
    // 1.1 m at 12, and 64 ml at 0.5.
    expect(plan.cost.forAll).toBeCloseTo(13.2 + 32, 6);
    expect(plan.cost.perPrint).toBeCloseTo(45.2 / 4, 6);
    expect(plan.cost.perMetre).toBeCloseTo(12 + 56, 6);
    expect(plan.secondLayerScale).toEqual({ across: expect.closeTo(0.98, 6), along: expect.closeTo(0.95, 6) });
    expect(plan.registerMissMm.along).toBeGreaterThan(0);
    expect(plan.warnings).toEqual([]);
  });

  it("says what it does not know, and gives no number in its place", () => {
    const { store } = testApp();
    const { supportId } = saveSampleMaterials(store);
    const plan = planCloth(
      { store },
      supportId,
      clothPlanQuerySchema.parse({ finishedWidthMm: 300, finishedHeightMm: 400 }),
    );
    expect(plan.warnings.map(({ code }) => code)).toEqual([
      "shrinkage-not-measured",
      "cloth-width-unknown",
      "coating-use-not-logged",
    ]);
    expect(plan).toMatchObject({ coating: null, cost: { perPrint: null, perMetre: null, forAll: null } });
    changeMaterial({ store }, { kind: "supports", id: supportId, changes: { cloth: { widthMm: 200 } } });
    const narrow = planCloth(
      { store },
      supportId,
      clothPlanQuerySchema.parse({ finishedWidthMm: 300, finishedHeightMm: 400 }),
    );
    expect(narrow.yardage).toBeNull();
    expect(narrow.warnings.map(({ code }) => code)).toContain("piece-wider-than-cloth");
  });

  it("a way that was not measured again stays as it was", () => {
    const { store } = testApp();
    const { supportId } = saveSampleMaterials(store);
    keepShrinkage({ store }, supportId, { beforeMm: 200, alongMm: [190], acrossMm: [196] });
    const { cloth } = keepShrinkage({ store }, supportId, { beforeMm: 200, alongMm: [192], acrossMm: [] });
    expect(cloth).toMatchObject({ shrinkAlong: { percent: 4 }, shrinkAcross: { percent: 2 } });
  });
});

/** A strip that keeps the share of its density which the picture's own bytes say. */
function fadingStudio() {
  const imaging = fakeImaging({
    "measure-reading": (job) => {
      const share = Number(new TextDecoder().decode((job as ReadingJob).picture));
      const reading = sampleReading();
      return { ...reading, steps: reading.steps.map((step) => ({ ...step, red: step.red * share })) };
    },
  });
  return testApp({ imaging });
}

const photo = (share: number): Uint8Array => new TextEncoder().encode(String(share));

describe("fading", () => {
  it("from three readings on tells what is left of each step, and refuses the palest", async () => {
    const tools = fadingStudio();
    const test = await saveSampleTest(tools.store);
    const before = fadingOf(tools, test.id, {});
    expect(before.steps[0]).toMatchObject({ curve: null, refusal: { code: "too-few-readings" } });
    for (const washes of [5, 10])
      await readFading(tools, test.id, {
        photo: photo(Math.exp(-0.02 * washes)),
        request: fadingRequestSchema.parse({ washes }),
      });
    const { steps, over, after, warnings } = fadingOf(tools, test.id, {});
    expect([over, after]).toEqual(["washes", 10]);
    expect(steps[0]?.curve?.rate.value).toBeCloseTo(0.02, 4);
    expect(steps[0]?.curve?.left.share.value).toBeCloseTo(Math.exp(-0.2), 3);
    expect(steps[4]).toMatchObject({ curve: null, refusal: { code: "step-too-pale" } });
    expect(warnings.map(({ code }) => code)).toEqual(["one-photo-each"]);
    expect(fadingOf(tools, test.id, { after: 40 }).warnings.map(({ code }) => code)).toContain("beyond-readings");
  });

  it("keeps each picture with its reading, and lets it go with it; the test stays", async () => {
    const tools = fadingStudio();
    const test = await saveSampleTest(tools.store);
    const request = fadingRequestSchema.parse({ lightDays: 60, madeOn: "2026-07-01", notes: "south window" });
    const kept = await readFading(tools, test.id, { photo: photo(0.9), request });
    expect(fadingOf(tools, test.id, {})).toMatchObject({
      over: "lightDays",
      readings: [{ id: null }, { id: kept.id, notes: "south window", madeOn: "2026-07-01", lightDays: 60 }],
    });
    expect(tools.store.pictures.list()).toHaveLength(2);
    forgetFading(tools, kept.id);
    expect(tools.store.pictures.list().map(({ id }) => id)).toEqual([test.pictureId]);
    expect(() => forgetFading(tools, kept.id)).toThrow(expect.objectContaining({ code: "not-found" }));
  });

  it("when the test was scanned, counts as scanned where its file tells nothing, said before or later", async () => {
    const answer = (job: unknown) => {
      const { picture, request } = job as ReadingJob;
      const isNoted = new TextDecoder().decode(picture).startsWith("0.8");
      const camera = isNoted ? unknownCamera : { ...unknownCamera, isSupposed: true };
      const isScan = request.takenBy === "scanner";
      const profile = { code: "untagged" } as const;
      const reading = sampleReading();
      return {
        ...reading,
        image: { ...reading.image, profile },
        camera: isScan ? noCamera : camera,
        warnings: isScan ? [] : [{ code: "tone-unchecked" }],
      };
    };
    const tools = testApp({ imaging: fakeImaging({ "measure-reading": answer }) });
    const test = await saveSampleTest(tools.store);
    const readAfter = (share: number) =>
      readFading(tools, test.id, { photo: photo(share), request: fadingRequestSchema.parse({ washes: 5 }) });
    const [untold, noted] = [await readAfter(0.9), await readAfter(0.8)];
    const codes = ({ id }: { id: string }) => tools.store.fading.get(id).warnings.map(({ code }) => code);
    expect([codes(untold), codes(noted)]).toEqual([["tone-unchecked"], ["tone-unchecked"]]);
    await rereadTest(tools, test.id, { takenBy: "scanner" });
    expect([codes(untold), codes(noted)]).toEqual([[], ["tone-unchecked"]]);
  });

  it("is read again when its corners change, or when the tablet of its test is told anew", async () => {
    const asked: ReadingJob["request"][] = [];
    const imaging = fakeImaging({
      "measure-reading": (job) => {
        const { picture, request } = job as ReadingJob;
        asked.push(request);
        const share = Number(new TextDecoder().decode(picture)) || 1;
        if (request.tablet.kind === "timed" && share === 0.7) throw new InputError("no-tablet-found", "Not found.");
        const reading = sampleReading();
        const corners = request.corners ?? reading.location.corners;
        const red = request.tablet.kind === "timed" ? 0.5 : share;
        return {
          ...reading,
          location: { ...reading.location, corners },
          steps: reading.steps.map((step) => ({ ...step, red })),
        };
      },
    });
    const tools = testApp({ imaging });
    const { store } = tools;
    const test = await saveSampleTest(store);
    const [kept, lost] = [0.9, 0.7].map((share) =>
      readFading(tools, test.id, { photo: photo(share), request: fadingRequestSchema.parse({ washes: 5 }) }),
    );
    const { id } = await kept!;
    const { id: lostId } = await lost!;
    const corners: Corners = [
      [1, 1],
      [90, 2],
      [90, 40],
      [1, 40],
    ];
    const changed = await changeFading(tools, id, { corners, notes: "mended" });
    expect(changed).toMatchObject({ id, corners, notes: "mended", washes: 5 });
    expect(asked.at(-1)?.corners).toEqual(corners);
    const sizeBefore = asked.length;
    await changeFading(tools, id, { washes: 6 });
    expect(asked).toHaveLength(sizeBefore);

    await readFadingAnew(tools, test.id);
    expect(store.fading.get(id)).toMatchObject({ corners, washes: 6, steps: [{ red: 0.9 }, {}, {}, {}, {}] });
    await rereadTest(tools, test.id, {
      tablet: { kind: "timed", seconds: [160, 80, 40, 20, 10] },
      exposureSeconds: null,
    });
    expect(asked.filter(({ tablet }) => tablet.kind === "timed").map((each) => each.corners)).toContainEqual(corners);
    expect(store.fading.get(id)).toMatchObject({
      corners,
      washes: 6,
      warnings: [],
      steps: [{ red: 0.5 }, {}, {}, {}, {}],
    });
    expect(store.fading.get(lostId)).toMatchObject({
      warnings: [{ code: "not-read-anew" }],
      steps: [{ red: 0.7 }, {}, {}, {}, {}],
    });
  });

  it("comes back with its test from the bin, and goes when that is emptied", async () => {
    const tools = fadingStudio();
    const { store } = tools;
    const test = await saveSampleTest(store);
    const other = await saveSampleTest(store);
    const request = fadingRequestSchema.parse({ washes: 5 });
    const kept = await readFading(tools, test.id, { photo: photo(0.9), request });
    const ofOther = await readFading(tools, other.id, { photo: photo(0.8), request });
    deleteTest(tools, test.id);
    sweepBin(tools, new Date());
    expect(store.fading.list(test.id)).toEqual([kept]);
    const [thing] = inBin(tools);
    await bringBack(tools, thing?.name ?? "");
    expect(fadingOf(tools, test.id, {}).readings.map(({ id }) => id)).toEqual([null, kept.id]);
    deleteTest(tools, test.id);
    emptyBin(tools);
    expect(store.fading.list(test.id)).toEqual([]);
    expect(store.pictures.find(kept.pictureId)).toBeUndefined();
    expect(store.fading.list(other.id)).toEqual([ofOther]);
  });
});
