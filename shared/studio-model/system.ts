// The equations of the model: rows of unknowns, alike ones taken together, and the pattern of their normal equations.
import { sparsePattern, sparsePlace, type SparsePattern } from "#shared/statistics/sparse-cholesky.ts";
import type { Observation, Seen } from "./observation.ts";
import { knownLogSeconds, termsOfObservation, type Frame, type Term } from "./unknowns.ts";

/** One log time in terms of the unknowns: their numbers and coefficients, and what no test has touched yet. */
export interface Row {
  readonly unknowns: Int32Array;
  readonly coefficients: Float64Array;
  /** Unknowns that nothing seen holds; they bring their whole spread. */
  readonly untouched: readonly Term[];
  /** Known part of the log time. */
  readonly known: number;
}

/** Observations whose rows are the same: they enter the equations as one. */
interface Cell extends Row {
  /** Where each pair of its unknowns stands in the pattern, with the product of their coefficients. */
  readonly places: Int32Array;
  readonly products: Float64Array;
}

export interface Equations {
  /** By observation: its cell, and what was seen less the known part of the row. */
  readonly cellOf: Int32Array;
  readonly seen: readonly Seen[];
  readonly cells: readonly Cell[];
  readonly unknowns: readonly Pick<Term, "key" | "kind" | "sigma">[];
  readonly numberOf: ReadonlyMap<string, number>;
  readonly pattern: SparsePattern;
  /** Where each unknown's own place on the diagonal is. */
  readonly diagonal: Int32Array;
}

/** The equations of a studio. */
export interface System extends Equations {
  readonly frame: Frame;
  readonly observations: readonly Observation[];
}

/** Rows, unknowns and pattern for what a studio has seen. */
export function systemOf(observations: readonly Observation[], frame: Frame): System {
  return {
    frame,
    observations,
    ...equationsOf(
      observations.map((each) => termsOfObservation(each, frame)),
      observations.map((each) => lessKnown(each.seen, knownLogSeconds(each))),
    ),
  };
}

/**
 * The equations of a linear mixed model.
 * @param rows terms of each observation
 * @param seen what was observed, with all that is known taken off
 */
export function equationsOf(rows: readonly (readonly Term[])[], seen: readonly Seen[]): Equations {
  const numberOf = numbersFor(rows);
  const unknowns: Pick<Term, "key" | "kind" | "sigma">[] = [];
  for (const terms of rows)
    for (const { key, kind, sigma } of terms) unknowns[numberOf.get(key)!] = { key, kind, sigma };
  const cellKeys = new Map<string, number>();
  const cellRows: Row[] = [];
  const cellOf = Int32Array.from(rows, (terms) => {
    const key = terms.map((term) => `${numberOf.get(term.key)}*${term.coefficient}`).join(" ");
    const known = cellKeys.get(key);
    if (known !== undefined) return known;
    cellKeys.set(key, cellRows.length);
    cellRows.push(rowFrom(terms, numberOf, 0));
    return cellRows.length - 1;
  });
  const groups = new Map(cellRows.map((row) => [row.unknowns.join(" "), row.unknowns]));
  const pattern = sparsePattern(
    numberOf.size,
    [...groups.values()].map((unknowns) => [...unknowns]),
  );
  const places = new Map([...groups].map(([key, unknowns]) => [key, placesOf(unknowns, pattern)]));
  return {
    cellOf,
    seen,
    cells: cellRows.map((row) => ({
      ...row,
      places: places.get(row.unknowns.join(" "))!,
      products: productsOf(row.coefficients),
    })),
    unknowns,
    numberOf,
    pattern,
    diagonal: Int32Array.from({ length: numberOf.size }, (_, i) => sparsePlace(pattern, i, i)),
  };
}

/** The row of a question: the time of these circumstances. */
export function rowFrom(terms: readonly Term[], numberOf: ReadonlyMap<string, number>, known: number): Row {
  const touched = terms.filter(({ key }) => numberOf.has(key));
  return {
    unknowns: Int32Array.from(touched, ({ key }) => numberOf.get(key)!),
    coefficients: Float64Array.from(touched, ({ coefficient }) => coefficient),
    untouched: terms.filter(({ key }) => !numberOf.has(key)),
    known,
  };
}

/** Unknowns that few others meet come first, so that the factor stays sparse. */
function numbersFor(rows: readonly (readonly Term[])[]): Map<string, number> {
  const found = new Map<string, number>();
  const neighbours: Set<number>[] = [];
  const seen = new Set<string>();
  for (const terms of rows) {
    const met = terms.map(({ key }) => {
      const known = found.get(key);
      if (known !== undefined) return known;
      found.set(key, neighbours.length);
      return neighbours.push(new Set()) - 1;
    });
    const row = met.join(" ");
    if (seen.has(row)) continue;
    seen.add(row);
    for (const one of met) for (const other of met) neighbours[one]!.add(other);
  }
  const ordered = [...found].sort(
    ([a, m], [b, n]) => neighbours[m]!.size - neighbours[n]!.size || (a < b ? -1 : Number(a > b)),
  );
  return new Map(ordered.map(([key], i) => [key, i]));
}

/** Where each pair of unknowns of one row stands in the pattern. */
function placesOf(unknowns: Int32Array, pattern: SparsePattern): Int32Array {
  const places = new Int32Array((unknowns.length * (unknowns.length + 1)) / 2);
  let p = 0;
  for (let a = 0; a < unknowns.length; a++) {
    for (let b = 0; b <= a; b++) {
      const [i, j] = [unknowns[a]!, unknowns[b]!];
      places[p++] = sparsePlace(pattern, Math.min(i, j), Math.max(i, j));
    }
  }
  return places;
}

function productsOf(coefficients: Float64Array): Float64Array {
  const products = new Float64Array((coefficients.length * (coefficients.length + 1)) / 2);
  let p = 0;
  for (let a = 0; a < coefficients.length; a++)
    for (let b = 0; b <= a; b++) products[p++] = coefficients[a]! * coefficients[b]!;
  return products;
}

function lessKnown(seen: Seen, known: number): Seen {
  if (seen.kind === "measured") return { ...seen, logSeconds: seen.logSeconds - known };
  return {
    ...seen,
    lower: seen.lower === null ? null : seen.lower - known,
    upper: seen.upper === null ? null : seen.upper - known,
  };
}
