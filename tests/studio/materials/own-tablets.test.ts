// The studio's own step tablets: added, changed, calibrated by prints of a coating that is known.
import { describe, expect, it } from "vitest";
import { tabletCalibrationSchema } from "#shared/schema/tablets.ts";
import { tabletForRequest } from "#shared/tablet/own-tablet.ts";
import { assessWithMaterials } from "#src/studio/tests/assess-saved.ts";
import { calibrateTablet, withOwnTablet } from "#src/studio/materials/calibrate-tablet.ts";
import { changeWithTests } from "#src/studio/materials/follow-tablet.ts";
import { addTablet, changeTablet } from "#src/studio/materials/keep-tablet.ts";
import { blue } from "../../support/studios/saved-tablets.ts";
import {
  sampleReading,
  sampleTestRecord,
  savePicture,
  saveSampleMaterials,
} from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

const labels = Array.from({ length: 21 }, (_, index) => 0.05 + 0.15 * index);

/** What a tablet that is 8 % denser than its label prints at a time. */
const printedAt = (seconds: number): number[] => labels.map((label) => blue(Math.log10(seconds) - 1.08 * label));

function studio() {
  const { store } = testApp();
  const tablet = addTablet({ store }, { name: "Studio tablet", densities: labels });
  const calibrate = (exposures: readonly { seconds: number; densities: readonly number[] }[]) =>
    calibrateTablet({ store }, tablet.id, tabletCalibrationSchema.parse({ exposures, lampId: "box" }), "2026-05-01");
  return { store, tablet, calibrate };
}

describe("addTablet and changeTablet", () => {
  it("keep what is known of it; a change of the name leaves the densities", async () => {
    const { store, tablet } = studio();
    expect(await changeTablet({ store }, tablet.id, { name: "Tablet by the sink" })).toMatchObject({
      name: "Tablet by the sink",
      densities: labels,
      scale: 1,
    });
    await expect(changeTablet({ store }, tablet.id, { densities: [0.2, 0.1, 0.3] })).rejects.toThrow(/denser/);
    expect(store.tablets.get(tablet.id).densities).toEqual(labels);
  });
});

describe("calibrateTablet", () => {
  it("from prints at two times, finds the scale of its densities in this light and keeps it", async () => {
    const { store, tablet, calibrate } = studio();
    const { found } = await calibrate([600, 1200].map((seconds) => ({ seconds, densities: printedAt(seconds) })));
    expect(Math.abs(found.scale - 1.08)).toBeLessThan(0.02);
    expect(store.tablets.get(tablet.id)).toMatchObject({
      scale: found.scale,
      calibratedAt: "2026-05-01",
      calibratedLampId: "box",
      densities: labels,
    });
  });

  it("when a print has another count of steps, or all came out alike, refuses and keeps the label", async () => {
    const { store, tablet, calibrate } = studio();
    const twoTimes = (densities: readonly number[]) => [600, 1200].map((seconds) => ({ seconds, densities }));
    await expect(calibrate(twoTimes([0.1, 0.2, 0.3]))).rejects.toThrow(/has 21 steps, and a print of it 3/);
    await expect(calibrate(twoTimes(labels.map(() => 1.6)))).rejects.toThrow(/do not tell/);
    expect(store.tablets.get(tablet.id).scale).toBe(1);
  });
});

describe("the tests made with a tablet", () => {
  const seconds = 4800;
  const twoPrints = [600, 1200].map((seconds) => ({ seconds, densities: printedAt(seconds) }));

  /** A saved strip of the tablet as its label has it, in a studio with tablets of these names. */
  async function studioWithTest(tablet = { densities: labels }) {
    const { store, calibrate, tablet: own } = studio();
    const materials = saveSampleMaterials(store);
    const picture = await savePicture(store);
    const steps = printedAt(seconds).map((red, i) => ({
      ...sampleReading().steps[0]!,
      index: i + 1,
      input: labels[i]!,
      red,
      flags: [],
    }));
    const request = { exposureSeconds: seconds, tablet: { kind: "transmission" as const, ...tablet } };
    const record = sampleTestRecord(materials, picture, request);
    const reading = { ...record.reading, steps };
    const assessed = assessWithMaterials(store, record.request, reading);
    const { id } = store.transaction(() => store.tests.save({ ...record, reading, ...assessed }));
    return { store, calibrate, own, id };
  }

  it("follow its calibration: other densities, other time, a narrower range, the same measurements", async () => {
    const { store, calibrate, id } = await studioWithTest();
    const before = store.tests.get(id);
    const { testIds, tablet } = await calibrate(twoPrints);
    expect(testIds).toEqual([id]);
    const after = store.tests.get(id);
    expect(after.request.tablet).toEqual(tabletForRequest(tablet));
    expect(after.reading.steps.map(({ red }) => red)).toEqual(before.reading.steps.map(({ red }) => red));
    // The shoulder lies at a step of label D: at 1.08 D its exposure is that much less, H = E t 10^-D.
    const [was, is] = [before.exposure.seconds!, after.exposure.seconds!];
    const shoulderDensity = Math.log10(seconds / was);
    expect(Math.log10(was / is)).toBeCloseTo(0.08 * shoulderDensity, 1);
    expect(is).toBeLessThan(was);
    const width = ({ lowerSeconds, upperSeconds }: typeof after.exposure) => Math.log(upperSeconds! / lowerSeconds!);
    expect(width(after.exposure)).toBeLessThan(width(before.exposure));
  });

  it("are found again after a second calibration, and stay where nothing of the densities changed", async () => {
    const { store, calibrate, own, id } = await studioWithTest();
    await calibrate(twoPrints);
    const once = store.tests.get(id);
    const { createdAt: _createdAt, updatedAt: _updatedAt, id: ownId, ...input } = store.tablets.get(own.id);
    expect((await changeWithTests({ store }, ownId, { ...input, notes: "in the drawer" })).testIds).toEqual([]);
    expect(store.tests.get(id)).toEqual(once);
    const { testIds } = await calibrate([600, 1300].map((seconds) => ({ seconds, densities: printedAt(seconds) })));
    expect(testIds).toEqual([id]);
    await changeTablet({ store }, own.id, { scale: 1, baseShiftDensity: 0, scaleSigmaShare: null });
    expect(store.tests.get(id).request.tablet).toMatchObject({ densities: labels });
  });

  it("of which a second one has the same densities, are left as they are", async () => {
    const { store, calibrate, id } = await studioWithTest();
    addTablet({ store }, { name: "Its twin", densities: labels });
    const before = store.tests.get(id);
    expect((await calibrate(twoPrints)).testIds).toEqual([]);
    expect(store.tests.get(id)).toEqual(before);
  });

  it("of another film are left as they are", async () => {
    const { calibrate } = await studioWithTest({ densities: labels.map((label) => label + 0.01) });
    expect((await calibrate(twoPrints)).testIds).toEqual([]);
  });
});

describe("withOwnTablet", () => {
  it("writes the named tablet out into the request, and leaves any other request alone", () => {
    const { store, tablet } = studio();
    expect(withOwnTablet(store, { tabletId: tablet.id, name: "x" })).toMatchObject({
      name: "x",
      tablet: { kind: "transmission", densities: labels },
    });
    const other = { tablet: { kind: "sheet" }, tabletId: "nope" };
    expect(withOwnTablet(store, other)).toBe(other);
    expect(() => withOwnTablet(store, { tabletId: "nope" })).toThrow(
      expect.objectContaining({ field: "tabletId", code: "bad-request" }),
    );
  });
});
