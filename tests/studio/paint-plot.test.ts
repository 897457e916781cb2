import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { plotAxis, type PlotSpec } from "#shared/format/plot.ts";
import { paintDrawing, plotCsv } from "#src/studio/paint-plot.ts";
import { paintDrawing as painted } from "#src/imaging/paint-drawing.ts";
import { fakeImaging } from "../support/fake-imaging.ts";

const plot: PlotSpec = {
  title: "Drift",
  summary: "",
  x: plotAxis("test", [0, 3]),
  y: plotAxis("stops, slower", [0, 1]),
  series: [
    { name: "tests", kind: "points", points: [{ x: 1, y: 0.5, lower: 0.25, upper: 0.75, label: "May, dry" }] },
    { name: "mean", kind: "line", points: [0, 1, 2].map((x) => ({ x, y: x / 4 })) },
  ],
};

describe("a plot to take away", () => {
  it("as a table has every point of every series, names with commas quoted", () => {
    expect(plotCsv(plot)).toBe(
      'series,test,"stops, slower",lower,upper,name,left out\r\ntests,1,0.5,0.25,0.75,"May, dry",\r\n' +
        "mean,0,0,,,,\r\nmean,1,0.25,,,,\r\nmean,2,0.5,,,,\r\n",
    );
  });

  it("as a picture is painted larger than it is drawn, in the drawing's colours", async () => {
    const imaging = fakeImaging({ "paint-drawing": (job) => painted(job as { svg: string }) });
    const svg =
      '<svg xmlns="http://www.w3.org/2000/svg" width="40" height="20"><rect width="40" height="20" fill="#14407a"/></svg>';
    const { data, info } = await sharp(await paintDrawing({ imaging }, svg))
      .raw()
      .toBuffer({ resolveWithObject: true });
    expect(info.width / info.height).toBeCloseTo(2, 1);
    expect(info.width).toBeGreaterThan(80);
    const middle = 3 * (Math.floor(info.height / 2) * info.width + Math.floor(info.width / 2));
    expect([...data.subarray(middle, middle + 3)]).toEqual([0x14, 0x40, 0x7a]);
  });
});
