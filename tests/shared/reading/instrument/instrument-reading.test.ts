import { describe, expect, it } from "vitest";
import { TroubleError } from "#shared/errors.ts";
import { tablesOfCgats } from "#shared/reading/instrument/cgats-text.ts";
import { instrumentReading, measuredBothWays } from "#shared/reading/instrument/instrument-reading.ts";
import { instrumentSamples, xyzFromLab } from "#shared/reading/instrument/instrument-samples.ts";
import { instrumentSchema, type InstrumentRequest } from "#shared/schema/measured/instrument.ts";
import type { Tablet } from "#shared/schema/reading.ts";

const asked = (text: string, more: Partial<InstrumentRequest> = {}): InstrumentRequest =>
  instrumentSchema.parse({ text, ...more });
const tablet: Tablet = { kind: "transmission", densities: [0.05, 0.35, 0.65, 0.95] };
const codeOf = (act: () => unknown): string => {
  try {
    act();
  } catch (error) {
    if (error instanceof TroubleError) return error.trouble.code;
    throw error;
  }
  return "none";
};

/** Invented numbers in the standard's form. */
const file = `CGATS.17
ORIGINATOR "an invented program"
INSTRUMENTATION "an invented densitometer, status T"
NUMBER_OF_FIELDS 4
BEGIN_DATA_FORMAT
SAMPLE_ID SAMPLE_NAME D_RED D_VIS
END_DATA_FORMAT
NUMBER_OF_SETS 5
BEGIN_DATA
1 "step 1" 1.42 1.10
2 "step 2" 1.10 0.83   # a remark
3 "step 3"
0.62 0.46
4 "step 4" 0.21 0.15
5 "bare paper" 0.08 0.06
END_DATA
`;

describe("the text of a spectrophotometer's program", () => {
  it("gives columns, rows and head, with quoted names, remarks and rows broken over lines", () => {
    const [table] = tablesOfCgats(file);
    expect(table!.fields).toEqual(["SAMPLE_ID", "SAMPLE_NAME", "D_RED", "D_VIS"]);
    expect(table!.rows.map(({ cells }) => cells.length)).toEqual([4, 4, 4, 4, 4]);
    expect(table!.rows[2]!.cells).toEqual(["3", "step 3", "0.62", "0.46"]);
  });

  it("is read above its bare paper, on its own scale", () => {
    const { steps, instrument, warnings } = instrumentReading(asked(file, { sigmaDensity: 0.01 }), tablet);
    expect(steps.map(({ red }) => Number(red.toFixed(6)))).toEqual([1.34, 1.02, 0.54, 0.13]);
    expect(steps.map(({ visual }) => Number(visual.toFixed(6)))).toEqual([1.04, 0.77, 0.4, 0.09]);
    expect(instrument).toMatchObject({ redScale: "red-filter", scaleName: "status T", visualMeasured: true });
    // Step and paper are each known to 0.01.
    expect(steps[0]!.sigma).toBeCloseTo(0.01 * Math.SQRT2, 12);
    expect(warnings.map(({ code }) => code)).toEqual(["instrument-scale"]);
  });

  it("with spectra gives the colour that the same spectrum has", () => {
    const fields = Array.from({ length: 31 }, (_, i) => `SPECTRAL_NM${400 + 10 * i}`).join(" ");
    const row = (percent: number) => Array.from({ length: 31 }, () => percent).join(" ");
    const rows = [10, 20, 40, 80, 90].map(row).join("\n");
    const text = `BEGIN_DATA_FORMAT\n${fields}\nEND_DATA_FORMAT\nBEGIN_DATA\n${rows}\nEND_DATA\n`;
    const { steps, instrument } = instrumentReading(asked(text), tablet);
    // A grey has the same density in every light: log10 of paper over step.
    for (const [i, percent] of [10, 20, 40, 80].entries()) {
      expect(steps[i]!.red).toBeCloseTo(Math.log10(90 / percent), 9);
      expect(steps[i]!.visual).toBeCloseTo(Math.log10(90 / percent), 9);
    }
    expect(instrument!.redScale).toBe("linear-srgb");
  });

  it("without any quantity that is read here is refused", () => {
    const text = "BEGIN_DATA_FORMAT\nCMYK_C\nEND_DATA_FORMAT\nBEGIN_DATA\n10\n20\n30\nEND_DATA";
    expect(codeOf(() => instrumentSamples(asked(text)))).toBe("instrument-no-known-field");
  });

  it("with columns parted by tabs may have blanks in its names, and names the line that lacks a value", () => {
    const tabbed = file
      .replace("SAMPLE_ID SAMPLE_NAME D_RED D_VIS", "SAMPLE_ID\tSAMPLE_NAME\tD_RED\tD_VIS")
      .replace(/^(\d) "([^"]+)"\s+([\d.]+) ([\d.]+).*$/gmu, "$1\t$2\t$3\t$4\t");
    expect(tabbed).toContain("1\tstep 1\t1.42\t1.10\t\n");
    const read = (text: string) => instrumentReading(asked(text), tablet).steps.map(({ red }) => red);
    expect(read(tabbed)).toEqual(read(file));
    expect(codeOf(() => read(tabbed.replace("\t1.10\t0.83", "\t\t0.83")))).toBe("instrument-bad-line");
  });

  it("with a value too few is refused, where the rest would slip by one and still make rows", () => {
    const rows = Array.from({ length: 8 }, (_, i) => `${i + 1} ${(1.6 - 0.2 * i).toFixed(2)} 0.4`);
    const head = "BEGIN_DATA_FORMAT\nSAMPLE_ID D_RED D_VIS\nEND_DATA_FORMAT\nNUMBER_OF_SETS 8\nBEGIN_DATA\n";
    const broken = rows.map((row, i) => ([1, 3, 5].includes(i) ? row.replace(/ 0\.4$/u, "") : row));
    const whole = instrumentSamples(asked(`${head}${rows.join("\n")}\nEND_DATA\n`));
    expect(whole.samples).toHaveLength(8);
    expect(codeOf(() => instrumentSamples(asked(`${head}${broken.join("\n")}\nEND_DATA\n`)))).toBe("instrument-rows");
  });

  it("in percent is all in percent: also a patch darker than 2 % throughout", () => {
    const fields = Array.from({ length: 31 }, (_, i) => `NM${400 + 10 * i}`).join(" ");
    const rows = [1, 20, 40, 80, 90].map((percent) => Array.from({ length: 31 }, () => percent).join(" ")).join("\n");
    const text = `BEGIN_DATA_FORMAT\n${fields}\nEND_DATA_FORMAT\nBEGIN_DATA\n${rows}\nEND_DATA\n`;
    expect(instrumentReading(asked(text), tablet).steps[0]!.red).toBeCloseTo(Math.log10(90), 9);
  });

  it("with XYZ of a white of 1 is read as with one of 100", () => {
    const rows = [
      [20, 22, 40],
      [30, 33, 45],
      [42, 44, 50],
      [62, 66, 60],
      [80, 83, 68],
    ];
    const read = (white: number) => {
      const data = rows.map((row) => row.map((value) => (value * white) / 100).join(" ")).join("\n");
      return instrumentReading(
        asked(`BEGIN_DATA_FORMAT\nXYZ_X XYZ_Y XYZ_Z\nEND_DATA_FORMAT\nBEGIN_DATA\n${data}\nEND_DATA\n`),
        tablet,
      );
    };
    read(1).steps.forEach(({ red, flags }, i) => {
      expect(red).toBeCloseTo(read(100).steps[i]!.red, 9);
      expect(flags).toEqual([]);
    });
  });

  it("with a value that is no number names the line", () => {
    expect(codeOf(() => instrumentSamples(asked(file.replace("1.10 0.83", "x 0.83"))))).toBe("instrument-bad-line");
  });
});

describe("colours", () => {
  it("in L*a*b* become the XYZ that the standard's formula gives", () => {
    // CIE 15: L* = 50 of a grey is Y = 0.184187; D50 white 0.9642, 1, 0.8249.
    const [x, y, z] = xyzFromLab([50, 0, 0]);
    expect(y).toBeCloseTo(0.184187, 5);
    expect(x / y).toBeCloseTo(0.9642, 9);
    expect(z / y).toBeCloseTo(0.8249, 9);
  });

  it("of the red primary of sRGB have all its red and no other", () => {
    // ICC tables of sRGB: red primary under D50 is XYZ 0.4361, 0.2225, 0.0139; white 0.9642, 1, 0.8249.
    const { samples } = instrumentSamples(
      asked("43.61 22.25 1.39\n96.42 100 82.49\n48.21 50 41.245", { quantity: "xyz" }),
    );
    for (const [i, density] of [0, 0, Math.log10(2)].entries())
      expect(Math.abs(samples[i]!.red! - density)).toBeLessThan(0.002);
  });

  it("three in a line are taken for L*a*b*, with or without a number before them", () => {
    const plain = instrumentSamples(asked("30 2 -30\n60 -5 -20\n90 0 2"));
    const numbered = instrumentSamples(asked("1 30 2 -30\n2 60 -5 -20\n3 90 0 2"));
    expect(plain.quantity).toBe("lab");
    expect(numbered.samples).toEqual(plain.samples);
  });

  it("without bare paper count from the palest step, and say so", () => {
    const { steps, warnings } = instrumentReading(asked("30 2 -30\n50 -5 -25\n70 -4 -10\n90 0 2"), tablet);
    expect(steps.at(-1)!.red).toBeCloseTo(0, 12);
    expect(warnings.map(({ code }) => code)).toContain("instrument-zero-from-steps");
  });
});

describe("typed densities", () => {
  it.each([
    ["one on a line", "1.4\n1.0\n0.5\n0.1"],
    ["in one line", "1.4 1.0 0.5 0.1"],
    ["with decimal commas", "1,4; 1,0; 0,5; 0,1"],
    ["numbered", "1 1.4\n2 1.0\n3 0.5\n4 0.1"],
  ])("%s are red densities above paper", (_, text) => {
    const { steps, instrument, warnings } = instrumentReading(asked(text), tablet);
    expect(steps.map(({ red }) => red)).toEqual([1.4, 1, 0.5, 0.1]);
    expect(instrument!.visualMeasured).toBe(false);
    expect(warnings.map(({ code }) => code)).toContain("instrument-paper-unmeasured");
  });

  it("one more beside the darkest step is bare paper, also where the palest step is paler by noise", () => {
    const before = instrumentReading(asked("0.02 1.42 0.9 0.3 0.01"), tablet);
    expect(before.steps.map(({ red }) => Number(red.toFixed(2)))).toEqual([1.4, 0.88, 0.28, -0.01]);
    const reversed = instrumentReading(asked("0.01 0.3 0.9 1.42 0.02"), tablet);
    expect(reversed.steps.map(({ red }) => Number(red.toFixed(2)))).toEqual([-0.01, 0.28, 0.88, 1.4]);
  });

  it("one more at either end is bare paper", () => {
    for (const text of ["0.1 1.5 1.1 0.6 0.2", "1.5 1.1 0.6 0.2 0.1"])
      expect(instrumentReading(asked(text), tablet).steps.map(({ red }) => Number(red.toFixed(9)))).toEqual([
        1.4, 1, 0.5, 0.1,
      ]);
  });

  it.each([
    ["too few", "1.4 1.0", "instrument-count"],
    ["percent for densities", "4 10 32 79", "instrument-impossible"],
    ["far paler than paper", "1.4 1.0 0.5 0.1 0.9", "instrument-impossible"],
  ])("%s are refused", (_, text, code) => {
    expect(codeOf(() => instrumentReading(asked(text), tablet))).toBe(code);
  });

  it("in the other order are told", () => {
    expect(instrumentReading(asked("0.1 0.5 1.0 1.4"), tablet).warnings.map(({ code }) => code)).toContain(
      "instrument-reversed",
    );
  });

  it("give no wedge sheet", () => {
    expect(codeOf(() => instrumentReading(asked("1 2 3"), { kind: "sheet" }))).toBe("instrument-of-sheet");
  });
});

describe("a print measured both ways", () => {
  it("keeps the instrument's densities at the picture's place, and says how the camera's differ", () => {
    const told = instrumentReading(asked("1.4 1.0 0.5 0.1"), tablet);
    const seen = instrumentReading(asked("1.26 0.9 0.45 0.09"), tablet);
    const place = { ...seen.location, confidence: 0.9, method: "found" } as const;
    const both = measuredBothWays(told, { ...seen, location: place });
    expect(both.steps.map(({ red }) => red)).toEqual([1.4, 1, 0.5, 0.1]);
    expect(both.location).toEqual(place);
    expect(both.instrument!.camera!.ratio).toBeCloseTo(0.9, 9);
    expect(both.instrument!.camera!.worstStep).toBe(1);
    expect(both.instrument!.camera!.worstDensity).toBeCloseTo(-0.14, 9);
    expect(both.warnings.map(({ code }) => code)).toContain("instrument-and-camera");
  });
});

describe("plain numbers as people and programs write them", () => {
  const reds = (text: string) => instrumentReading(asked(text), tablet).steps.map(({ red }) => red);

  it("may have a true minus sign, and commas between whole numbers", () => {
    expect(reds("1.4\n0.9\n0.3\n\u22120.02")).toEqual([1.4, 0.9, 0.3, -0.02]);
    const lab = ["1,40,-5,-30", "2,50,-8,-25", "3,70,-7,-20", "4,85,-3,-7"];
    expect(instrumentReading(asked(lab.join("\n")), tablet).steps).toEqual(
      instrumentReading(asked(lab.map((row) => row.slice(2).replaceAll(",", " ")).join("\n")), tablet).steps,
    );
  });

  it("that rise along a strip of falling times are in the wrong order, of rising times in the right one", () => {
    const codes = (seconds: readonly number[]) =>
      instrumentReading(asked("0.1\n0.5\n0.9\n1.4"), { kind: "timed", seconds: [...seconds] }).warnings.map(
        ({ code }) => code,
      );
    expect(codes([80, 40, 20, 10])).toContain("instrument-reversed");
    expect(codes([10, 20, 40, 80])).not.toContain("instrument-reversed");
  });
});
