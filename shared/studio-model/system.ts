// The equations of the model: rows of unknowns, alike ones taken together, and the pattern of their normal equations.
import { neighboursOf } from "#shared/statistics/neighbours.ts";
import { sparsePattern, sparsePlace, type SparsePattern } from "#shared/statistics/sparse-cholesky.ts";
import { isAfter, type ChangeEvent, type Observation, type Seen } from "./observation.ts";
import { eventTerm, knownLogSeconds, termsOfObservation, type Frame, type Term } from "./unknowns.ts";

/** One log time in terms of the unknowns: their numbers and coefficients, and what no test has touched yet. */
export interface Row {
  readonly unknowns: readonly number[];
  readonly coefficients: readonly number[];
  /** Unknowns that nothing seen holds; they bring their whole spread. */
  readonly untouched: readonly Term[];
  /** Known part of the log time. */
  readonly known: number;
}

/** Observations whose rows are the same: they enter the equations as one. */
interface Cell extends Row {
  /** Where each pair of its unknowns stands in the pattern, with the product of their coefficients. */
  readonly places: readonly number[];
  readonly products: readonly number[];
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
  /** Terms of each observation. */
  readonly rows: readonly (readonly Term[])[];
}

/** Rows, unknowns and pattern for what a studio has seen. */
export function systemOf(observations: readonly Observation[], frame: Frame): System {
  const termsAt = new Map<string, readonly Term[]>();
  const rows = observations.map((each) => {
    const key = circumstancesKey(each, frame);
    const terms = termsAt.get(key) ?? termsOfObservation(each, frame);
    termsAt.set(key, terms);
    return terms;
  });
  const seen = observations.map((each) => lessKnown(each.seen, knownLogSeconds(each)));
  return { frame, observations, rows, ...equationsOf(rows, seen) };
}

/** The same studio with one change more, which is no new light. */
export function systemWith(system: System, change: ChangeEvent): System {
  const { frame, observations, seen } = system;
  const changed = new Map<readonly Term[], readonly Term[]>();
  const rows = system.rows.map((terms, i) => {
    if (!isAfter(change, observations[i]!)) return terms;
    const more = changed.get(terms) ?? [...terms, eventTerm(change)];
    changed.set(terms, more);
    return more;
  });
  return {
    frame: { ...frame, events: [...frame.events, change] },
    observations,
    rows,
    ...equationsOf(rows, seen),
  };
}

/** The same for observations whose terms are the same: what `termsOfObservation` reads of them. */
function circumstancesKey(of: Observation, { events }: Frame): string {
  const { film, distance, finish, tablet } = of;
  return [
    of.lampId,
    of.supportId,
    of.coatingId,
    of.batchId,
    ...(film === null ? [""] : [film.id, film.commonSigma, film.lampSigma]),
    distance?.sigmaLogH,
    of.lampHours,
    of.humidityPercent,
    finish.acidWash,
    finish.peroxide,
    finish.oxidised,
    ...(tablet === null ? [""] : [tablet.id, tablet.sigma]),
    ...events.map((event) => isAfter(event, of)),
  ].join("\n");
}

/**
 * The equations of a linear mixed model.
 * @param rows terms of each observation; the same array where they are the same spares work
 * @param seen what was observed, with all that is known taken off
 */
export function equationsOf(rows: readonly (readonly Term[])[], seen: readonly Seen[]): Equations {
  const { cellOf, cells: met, groups, unknowns: found } = cellsOf(rows);
  const order = eliminationOrder(found, groups);
  const placeOf = new Int32Array(order.length);
  order.forEach((first, place) => (placeOf[first] = place));
  const ordered = groups.map((unknowns) => unknowns.map((each) => placeOf[each]!));
  const pattern = sparsePattern(order.length, ordered);
  const places = ordered.map((unknowns) => placesOf(unknowns, pattern));
  const products = onceForEach(productsOf);
  return {
    cellOf,
    seen,
    cells: met.map(({ group, coefficients }) => ({
      unknowns: ordered[group]!,
      coefficients,
      untouched: [],
      known: 0,
      places: places[group]!,
      products: products(coefficients),
    })),
    unknowns: order.map((first) => found[first]!),
    numberOf: new Map(order.map((first, place) => [found[first]!.key, place])),
    pattern,
    diagonal: Int32Array.from({ length: order.length }, (_, i) => sparsePlace(pattern, i, i)),
  };
}

type Unknown = Equations["unknowns"][number];

/** Rows that differ, and the groups of unknowns that stand in them, numbered as they are met. */
function cellsOf(rows: readonly (readonly Term[])[]): {
  readonly cellOf: Int32Array;
  readonly cells: readonly { readonly group: number; readonly coefficients: readonly number[] }[];
  readonly groups: readonly (readonly number[])[];
  readonly unknowns: readonly Unknown[];
} {
  const numberOf = new Map<string, number>();
  const unknowns: Unknown[] = [];
  const groups: (readonly number[])[] = [];
  const cells: { group: number; coefficients: readonly number[] }[] = [];
  const byTerms = new Map<readonly Term[], number>();
  const byUnknowns = new Map<string, number>();
  const coefficientsBy = new Map<string, readonly number[]>();
  const byKey = new Map<string, number>();
  const cellOf = Int32Array.from(rows, (terms) => {
    const same = byTerms.get(terms);
    if (same !== undefined) return same;
    const met = terms.map(({ key, kind, sigma }) => {
      const known = numberOf.get(key);
      if (known !== undefined) return known;
      numberOf.set(key, unknowns.length);
      return unknowns.push({ key, kind, sigma }) - 1;
    });
    const unknownsKey = met.join(" ");
    const group = byUnknowns.get(unknownsKey) ?? groups.push(met) - 1;
    byUnknowns.set(unknownsKey, group);
    const listed = terms.map(({ coefficient }) => coefficient);
    const coefficientsKey = listed.join(" ");
    // The same array for the same coefficients, which most rows share.
    const coefficients = coefficientsBy.get(coefficientsKey) ?? listed;
    coefficientsBy.set(coefficientsKey, coefficients);
    const key = `${group}*${coefficientsKey}`;
    const cell = byKey.get(key) ?? cells.push({ group, coefficients }) - 1;
    byKey.set(key, cell);
    byTerms.set(terms, cell);
    return cell;
  });
  return { cellOf, cells, groups, unknowns };
}

/** The row of a question: the time of these circumstances. */
export function rowFrom(terms: readonly Term[], numberOf: ReadonlyMap<string, number>, known: number): Row {
  const touched = terms.filter(({ key }) => numberOf.has(key));
  return {
    unknowns: touched.map(({ key }) => numberOf.get(key)!),
    coefficients: touched.map(({ coefficient }) => coefficient),
    untouched: terms.filter(({ key }) => !numberOf.has(key)),
    known,
  };
}

/** Unknowns that few others meet come first, so that the factor stays sparse. */
function eliminationOrder(unknowns: readonly Unknown[], groups: readonly (readonly number[])[]): number[] {
  const neighbours = neighboursOf(unknowns.length, groups).map(({ length }) => length);
  const keyOf = (number: number): string => unknowns[number]!.key;
  return unknowns
    .map((_, number) => number)
    .sort((a, b) => neighbours[a]! - neighbours[b]! || (keyOf(a) < keyOf(b) ? -1 : Number(keyOf(a) > keyOf(b))));
}

/** Where each pair of unknowns of one row stands in the pattern. */
function placesOf(unknowns: readonly number[], pattern: SparsePattern): number[] {
  const places: number[] = [];
  for (let a = 0; a < unknowns.length; a++) {
    for (let b = 0; b <= a; b++) {
      const [i, j] = [unknowns[a]!, unknowns[b]!];
      places.push(sparsePlace(pattern, Math.min(i, j), Math.max(i, j)));
    }
  }
  return places;
}

function productsOf(coefficients: readonly number[]): readonly number[] {
  const products: number[] = [];
  for (let a = 0; a < coefficients.length; a++)
    for (let b = 0; b <= a; b++) products.push(coefficients[a]! * coefficients[b]!);
  return products;
}

/** The same function, which reckons for the same object once. */
function onceForEach<Given extends object, Result>(reckon: (given: Given) => Result): (given: Given) => Result {
  const known = new Map<Given, Result>();
  return (given) => {
    const result = known.get(given) ?? reckon(given);
    known.set(given, result);
    return result;
  };
}

function lessKnown(seen: Seen, known: number): Seen {
  if (seen.kind === "measured") return { ...seen, logSeconds: seen.logSeconds - known };
  return {
    ...seen,
    lower: seen.lower === null ? null : seen.lower - known,
    upper: seen.upper === null ? null : seen.upper - known,
  };
}
