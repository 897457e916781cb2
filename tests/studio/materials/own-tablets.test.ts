// The studio's own step tablets: added, changed, calibrated by prints of a coating that is known.
import { describe, expect, it } from "vitest";
import { tabletCalibrationSchema } from "#shared/schema/tablets.ts";
import { calibrateTablet, withOwnTablet } from "#src/studio/materials/calibrate-tablet.ts";
import { addTablet, changeTablet } from "#src/studio/materials/keep-tablet.ts";
import { blue } from "../../support/studios/saved-tablets.ts";
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
  it("keep what is known of it; a change of the name leaves the densities", () => {
    const { store, tablet } = studio();
    expect(changeTablet({ store }, tablet.id, { name: "Tablet by the sink" })).toMatchObject({
      name: "Tablet by the sink",
      densities: labels,
      scale: 1,
    });
    expect(() => changeTablet({ store }, tablet.id, { densities: [0.2, 0.1, 0.3] })).toThrow(/denser/);
    expect(store.tablets.get(tablet.id).densities).toEqual(labels);
  });
});

describe("calibrateTablet", () => {
  it("from prints at two times, finds the scale of its densities in this light and keeps it", () => {
    const { store, tablet, calibrate } = studio();
    const { found } = calibrate([600, 1200].map((seconds) => ({ seconds, densities: printedAt(seconds) })));
    expect(Math.abs(found.scale - 1.08)).toBeLessThan(0.02);
    expect(store.tablets.get(tablet.id)).toMatchObject({
      scale: found.scale,
      calibratedAt: "2026-05-01",
      calibratedLampId: "box",
      densities: labels,
    });
  });

  it("when a print has another count of steps, or all came out alike, refuses and keeps the label", () => {
    const { store, tablet, calibrate } = studio();
    const twoTimes = (densities: readonly number[]) => [600, 1200].map((seconds) => ({ seconds, densities }));
    expect(() => calibrate(twoTimes([0.1, 0.2, 0.3]))).toThrow(/has 21 steps, and a print of it 3/);
    expect(() => calibrate(twoTimes(labels.map(() => 1.6)))).toThrow(/do not tell/);
    expect(store.tablets.get(tablet.id).scale).toBe(1);
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
