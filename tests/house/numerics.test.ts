// One box of numerics: shared/statistics. A second definition of what stands there is refused.
import { describe, expect, it } from "vitest";
import { codeOf, sourceFiles } from "../support/source-tree.ts";

interface TellTale {
  readonly idea: string;
  /** The file where it stands. */
  readonly home: string;
  /** A neighbour in the box that does something akin: an index looked up in a pattern. */
  readonly beside?: string;
  readonly sign: RegExp;
  /** Code as somebody would write it again. */
  readonly example: string;
}

const tellTales: readonly TellTale[] = [
  {
    idea: "a Cholesky factor",
    home: "cholesky.ts",
    // Square roots on the diagonal, and the inner product that goes before.
    sign: /i === j[?)\s][^;]*Math\.sqrt|for \(let k = [^;]*; k < j; k\+\+\)\s*\w+ -= \w+[^;]*\* \w+/,
    example: "for (let k = 0; k < j; k++) sum -= l[i]![k]! * l[j]![k]!;",
  },
  {
    idea: "an error function",
    home: "normal-distribution.ts",
    sign: /0\.3275911|0\.254829592|1\.061405429|1\.26551223|cumulativeStdNormalProbability|\bprobit\b/,
    example: "const t = 1 / (1 + 0.3275911 * x);",
  },
  {
    idea: "the reach of a 95 % range",
    home: "normal-distribution.ts",
    sign: /\b1\.9(?:6|5996\d*)\b/,
    example: "const half = 1.96 * sigma;",
  },
  {
    idea: "a bisection",
    home: "bisection.ts",
    beside: "sparse-cholesky.ts",
    sign: /(?:=|return) \(low \+ high\) (?:\/ 2|>> 1|>>> 1);\s*(?:if|const below)/,
    example: "const middle = (low + high) / 2;\n if (f(middle) < 0) low = middle;",
  },
  {
    idea: "a bisection between left and right or from and to",
    home: "bisection.ts",
    sign: /const mid(?:dle)? = \((?:left \+ right|from \+ to|a \+ b)\) \/ 2;\s*if/,
    example: "const mid = (left + right) / 2;\n if (f(mid)) left = mid;",
  },
  {
    idea: "a median absolute deviation",
    home: "robust.ts",
    sign: /\b1\.48(?:26\d*|3)\b|\b0\.67449\d*|\b0\.6745\b/,
    example: "const spread = 1.4826 * middle;",
  },
  {
    idea: "a biweight",
    home: "robust.ts",
    sign: /\b4\.685\b|\(1 - (\w+) \* \1\) \*\* 2/,
    example: "const weight = far >= 1 ? 0 : (1 - far * far) ** 2;",
  },
  {
    idea: "a Huber weight",
    home: "robust.ts",
    sign: /\b1\.345\b/,
    example: "Math.min(1, 1.345 / size)",
  },
  {
    idea: "a median",
    home: "robust.ts",
    sign: /sort\(\(a, b\) => a - b\)\[[^\]]*(?:>> 1|\/ 2)|\.length - 1\) >> 1\]|(?:const|function) median\b/,
    example: "const middle = [...values].sort((a, b) => a - b)[values.length >> 1]!;",
  },
  {
    idea: "pooling of adjacent violators",
    home: "isotonic-regression.ts",
    sign: /blocks\.pop\(\)|violators/,
    example: "const upper = blocks.pop()!;",
  },
  {
    idea: "Student's factor",
    home: "student-t.ts",
    sign: /\b12\.706\b|incompleteBeta|regularisedBeta/,
    example: "const factors = [12.706, 4.303, 3.182];",
  },
];

const home = "shared/statistics/";
const files = sourceFiles("shared", "src").map((file) => ({ file, code: codeOf(file) }));

describe("the box of numerics", () => {
  // Hot loops over places of an order, and the middle one of a list of things, are no medians of numbers and stay.
  it.each(tellTales)("$idea stands in $home alone", ({ home: file, beside, sign, example }) => {
    expect(example).toMatch(sign);
    const again = files.filter(({ code }) => sign.test(code)).map((each) => each.file);
    expect(again.filter((each) => each !== home + file && each !== `${home}${beside ?? ""}`)).toEqual([]);
  });

  it("every home is there", () => {
    const there = files.map(({ file }) => file);
    expect(tellTales.map((each) => home + each.home).filter((file) => !there.includes(file))).toEqual([]);
  });
});
