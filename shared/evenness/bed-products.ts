// A bed under one way in which light may fall: what every plausible size of the unknown shares, reckoned once.
import { dotProduct } from "#shared/statistics/dot-product.ts";
import type { BedPlace, FallOff } from "./lamp-over-bed.ts";

/** A place under one fall-off: what that says of it, and the share of each part of the lamp in its light. */
export interface Lit {
  readonly place: BedPlace;
  /** Less the middle of the bed [stops]. */
  readonly fall: number;
  readonly parts: Float64Array;
}

/** Products of all pairs of a row and a column, row by row, from which the covariances of every world are made. */
export interface Products {
  readonly columns: number;
  readonly falls: Float64Array;
  readonly slopes: Float64Array;
  readonly parts: Float64Array;
  readonly squares: Float64Array;
}

/** A bed under one fall-off: measured places, places whose mean is wanted, and places that are drawn. */
export interface Bed {
  /** Share of belief in its fall-off beforehand, 0-1. */
  readonly chance: number;
  /** Parts of the lamp; 0 of one in one piece. */
  readonly partCount: number;
  readonly known: readonly Lit[];
  readonly knownKnown: Products;
  /** Reckoned once, and only for a bed of which a world is drawn. */
  readonly asked: () => readonly Lit[];
  readonly seen: () => readonly Lit[];
  readonly askedKnown: () => Products;
}

/** A bed under one fall-off, with all products that the worlds share. */
export function bedUnder(
  fallOff: FallOff,
  {
    places,
    asked,
    seen,
  }: { readonly places: readonly BedPlace[]; readonly asked: readonly BedPlace[]; readonly seen: readonly BedPlace[] },
): Bed {
  const middle = fallOff.at({ x: 0.5, y: 0.5 });
  const litAll = (all: readonly BedPlace[]): Lit[] =>
    all.map((place) => {
      const { light, parts } = fallOff.at(place);
      return { place, fall: Math.log2(light / middle.light), parts };
    });
  const known = litAll(places);
  const wanted = once(() => litAll(asked));
  return {
    chance: fallOff.chance,
    partCount: middle.parts.length,
    known,
    knownKnown: productsOf(known, known),
    asked: wanted,
    seen: once(() => litAll(seen)),
    askedKnown: once(() => productsOf(wanted(), known)),
  };
}

function once<Value>(make: () => Value): () => Value {
  let made: { readonly value: Value } | null = null;
  return () => (made ??= { value: make() }).value;
}

function productsOf(rows: readonly Lit[], columns: readonly Lit[]): Products {
  const made = (of: (a: Lit, b: Lit) => number): Float64Array => {
    const values = new Float64Array(rows.length * columns.length);
    rows.forEach((a, i) => columns.forEach((b, j) => (values[i * columns.length + j] = of(a, b))));
    return values;
  };
  return {
    columns: columns.length,
    falls: made((a, b) => a.fall * b.fall),
    slopes: made((a, b) => (a.place.x - 0.5) * (b.place.x - 0.5) + (a.place.y - 0.5) * (b.place.y - 0.5)),
    parts: made((a, b) => dotProduct(a.parts, b.parts)),
    squares: made((a, b) => (a.place.x - b.place.x) ** 2 + (a.place.y - b.place.y) ** 2),
  };
}
