import { describe, expect, it } from "vitest";
import { densityScaleOf } from "#shared/reading/density-scale.ts";
import { instrumentReading } from "#shared/reading/instrument/instrument-reading.ts";
import { readingInWords } from "#shared/words/tests/reading-words.ts";
import type { InstrumentRequest } from "#shared/schema/measured/instrument.ts";

const tablet = { kind: "transmission", steps: 5, increment: 0.3, firstDensity: 0.05 } as const;
const measured = (asked: Partial<InstrumentRequest>) =>
  readingInWords(instrumentReading({ text: "1.6\n1.2\n0.7\n0.3\n0.05", sigmaDensity: 0.01, ...asked }, tablet));
const picture = { warnings: [] };

describe("the scale of a reading's densities", () => {
  it("is one for pictures in colour and for colours that an instrument measured", () => {
    const lab = measured({ text: "40 -5 -40\n50 -8 -35\n70 -7 -20\n85 -3 -7\n93 0 2" });
    expect(densityScaleOf(lab, "red")).toBe(densityScaleOf(picture, "red"));
  });

  it("is another for a grey picture, and for each filter by its name", () => {
    const scales = [
      picture,
      { warnings: [{ code: "picture-grey", message: "" }] },
      measured({}),
      measured({ scaleName: "status T" }),
    ].map((reading) => densityScaleOf(reading, "red"));
    expect(new Set(scales).size).toBe(4);
    expect(densityScaleOf(measured({ scaleName: "Status t" }), "red")).toBe(scales[3]);
  });
});
