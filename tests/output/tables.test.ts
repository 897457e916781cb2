// Tables as files: comma-separated values as RFC 4180 writes them, and CGATS.17 text.
import { describe, expect, it } from "vitest";
import { cgatsText } from "#src/output/cgats.ts";
import { csvText } from "#src/output/csv.ts";

describe("csvText", () => {
  it("quotes fields with commas, quotes and line ends, and doubles quotes (RFC 4180, section 2, rules 6 and 7)", () => {
    expect(
      csvText(
        ["a", "b,c"],
        [
          ['say "blue"', 1.5],
          ["two\nlines", -0.25],
        ],
      ),
    ).toBe('a,"b,c"\r\n"say ""blue""",1.5\r\n"two\nlines",-0.25\r\n');
  });

  it("writes numbers with a point and six decimals at most", () => {
    expect(csvText(["x"], [[1 / 3], [1e-9], [1234567]])).toBe("x\r\n0.333333\r\n0\r\n1234567\r\n");
  });
});

describe("cgatsText", () => {
  const table = {
    header: [["DESCRIPTOR", 'a "wedge"\nof two']],
    notes: [["TEST_ID", "t1"]],
    fields: ["SAMPLE_ID", "LEVEL_SENT"],
    ownFields: ["LEVEL_SENT"],
    rows: [
      [1, 0],
      [2, 127.50001],
    ],
  } as const;

  it("begins with its name, counts fields and sets, and announces what is not in the standard", () => {
    expect(cgatsText([table]).split("\n")).toEqual([
      "CGATS.17",
      "DESCRIPTOR \"a 'wedge' of two\"",
      'KEYWORD "TEST_ID"',
      'TEST_ID "t1"',
      'KEYWORD "LEVEL_SENT"',
      "NUMBER_OF_FIELDS 2",
      "BEGIN_DATA_FORMAT",
      "SAMPLE_ID\tLEVEL_SENT",
      "END_DATA_FORMAT",
      "NUMBER_OF_SETS 2",
      "BEGIN_DATA",
      "1\t0",
      "2\t127.50001",
      "END_DATA",
      "",
    ]);
  });

  it("holds several tables, the name once", () => {
    const text = cgatsText([table, table]);
    expect(text.match(/CGATS\.17/g)).toHaveLength(1);
    expect(text.match(/BEGIN_DATA$/gm)).toHaveLength(2);
  });
});
