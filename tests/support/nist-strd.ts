import { referenceTable } from "./reference-table.ts";

export interface NistSet {
  readonly name: string;
  readonly kind: string;
  readonly degreesOfFreedom: number;
  readonly residualSumSquares: number;
  readonly y: readonly number[];
  /** One row for each observation. */
  readonly x: readonly (readonly number[])[];
  readonly certified: readonly number[];
  readonly standardErrors: readonly number[];
  readonly starts: readonly (readonly number[])[];
}

/** The certified problems of one kind. */
export function nistSets(kind: "linear" | "nonlinear"): NistSet[] {
  const data = referenceTable("nist-strd-data");
  const params = referenceTable("nist-strd-params");
  return referenceTable("nist-strd-summary")
    .filter((row) => row["kind"] === kind)
    .map((row) => {
      const name = row["dataset"]!;
      const rows = data.filter((entry) => entry["dataset"] === name);
      const own = params.filter((entry) => entry["dataset"] === name);
      const numbers = (column: string) => own.map((entry) => Number(entry[column]));
      if (rows.length !== Number(row["n"]) || own.length !== Number(row["p"])) throw new Error(`${name} is incomplete`);
      return {
        name,
        kind,
        degreesOfFreedom: Number(row["dof"]),
        residualSumSquares: Number(row["residual_sum_squares"]),
        y: rows.map((entry) => Number(entry["y"])),
        x: rows.map((entry) =>
          ["x1", "x2", "x3", "x4", "x5", "x6"]
            .filter((column) => entry[column] !== "")
            .map((column) => Number(entry[column])),
        ),
        certified: numbers("certified"),
        standardErrors: numbers("std_error"),
        starts: kind === "linear" ? [] : [numbers("start1"), numbers("start2")],
      };
    });
}
