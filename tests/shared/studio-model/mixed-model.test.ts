import { describe, expect, it } from "vitest";
import { equationsOf } from "#shared/studio-model/system.ts";
import { solveSystem, timeOf } from "#shared/studio-model/solve.ts";
import type { Term } from "#shared/studio-model/unknowns.ts";
import { numberIn, referenceTable } from "../../support/reference-table.ts";

const table = referenceTable("mixed-model", 86);
const rowsOf = (kind: string): Record<string, string>[] => table.filter((row) => row["kind"] === kind);
const variances = new Map(rowsOf("variance").map((row) => [row["name"] ?? "", numberIn(row, "value")]));
const level = numberIn(rowsOf("level")[0]!, "value");
const spreads = { print: 0, pair: 0.05, reach: 1 };

/** The model's equations for the same tests: the level with a wide prior, or known. */
function solved(levelSigma: number, known: number) {
  const fixed = (kind: string, name: string): Term => ({
    key: `${kind}[C(${kind})[${name}]]`,
    kind: "fixed",
    coefficient: 1,
    sigma: Math.sqrt(variances.get(kind) ?? Number.NaN),
  });
  const tests = rowsOf("test");
  const equations = equationsOf(
    tests.map(({ name: lamp = "", second: support = "", third: coating = "" }) => [
      { key: "level", kind: "fixed", coefficient: 1, sigma: levelSigma },
      fixed("lamp", lamp),
      fixed("support", support),
      fixed("coating", coating),
      fixed("lc", lamp + coating),
    ]),
    tests.map((row) => ({
      kind: "measured",
      logSeconds: numberIn(row, "value") - known,
      sigma: Math.sqrt(variances.get("residual")!),
    })),
  );
  const solution = solveSystem(equations, spreads, { errors: "normal" });
  const effectOf = (key: string) =>
    timeOf(solution, {
      unknowns: [equations.numberOf.get(key) ?? -1],
      coefficients: [1],
      untouched: [],
      known: 0,
    });
  return { equations, effectOf };
}

describe("the model's equations beside a general package's mixed model", () => {
  it("takes repeats together: fewer cells than tests", () => {
    const { equations } = solved(1e3, 0);
    expect(equations.cells.length).toBeLessThan(rowsOf("test").length);
  });

  it("gives the same level and its standard error", () => {
    const { mean, variance } = solved(1e3, 0).effectOf("level");
    expect(Math.abs(mean - level)).toBeLessThan(1e-6);
    expect(Math.abs(Math.sqrt(variance) - numberIn(rowsOf("levelSigma")[0]!, "value"))).toBeLessThan(1e-6);
  });

  it.each(rowsOf("effect"))("gives the same effect $name", (row) => {
    const { mean } = solved(1e3, 0).effectOf(row["name"] ?? "");
    expect(Math.abs(mean - numberIn(row, "value"))).toBeLessThan(1e-6);
  });

  it.each(rowsOf("effectVariance"))("gives the same variance of $name once the level is known", (row) => {
    const { variance } = solved(1e-7, level).effectOf(row["name"] ?? "");
    expect(Math.abs(variance - numberIn(row, "value"))).toBeLessThan(1e-6);
  });
});
