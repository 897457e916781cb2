import { describe, expect, it } from "vitest";
import { correctionOfTest } from "#src/studio/negatives/correct.ts";
import { curveOfReport } from "#src/web/corrections/report-part.ts";
import { saveLevelsTest } from "../../support/studios/levels-test.ts";
import { sampleTestRecord, savePicture } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

describe("the printed report", () => {
  it("of a strip of levels, holds its curve and every point to type; of a step tablet none", async () => {
    const { store } = testApp();
    const { id, materials } = await saveLevelsTest(store);
    const part = curveOfReport(store, store.tests.get(id));
    const { points, levels } = correctionOfTest({ store }, { testId: id, target: "lightness" }).correction;
    expect(part?.points.split(", ")).toHaveLength(points.length);
    expect(part?.points).toMatch(/^0 to 0, .*255 to 255$/);
    expect(part?.plot.series[0]?.points[128]?.y).toBe(levels[128]);
    const record = sampleTestRecord(materials, await savePicture(store, "tablet"));
    const tablet = store.transaction(() => store.tests.save(record));
    expect(curveOfReport(store, tablet)).toBeNull();
  });
});
