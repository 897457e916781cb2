// What a supposed strip shows of its own shape: where its boundaries, ends and long edges lie, against where they are
// supposed.
import type { Field } from "#src/imaging/find/smoothed-field.ts";
import { levelBand } from "./level-band.ts";
import type { Observation, Reach } from "./observation.ts";
import { boundariesOf, noiseOf, type SeenBoundary } from "./observe-boundaries.ts";
import { longEdge, stripEnd } from "./observe-edges.ts";
import { placesOf, type StripShape } from "./strip-shape.ts";

export interface ShapeObservations {
  /** Of boundaries, in their order, and long edges; so many of them are of boundaries. */
  readonly lines: readonly Observation[];
  /** Number of the boundary of each of the first lines. */
  readonly boundaryOfLine: readonly number[];
  /** Of the dark and the pale end; empty where none is seen. */
  readonly ends: readonly [readonly Observation[], readonly Observation[]];
  /** Boundaries seen between steps, and their fall. */
  readonly boundaries: readonly SeenBoundary[];
  /** Share of the places along the top and the bottom edge that end on a straight line; 0 where none is seen. */
  readonly edgeShares: readonly [number, number];
  /** How much the tones change there, over all places of the weaker edge. */
  readonly edgeStrength: number;
  /** Standard deviation of the fall where there is no boundary. */
  readonly noise: number;
}

/** Looks for every line of a supposed strip near its place. */
export function observeShape(field: Field, shape: StripShape, steps: number, reach: Reach): ShapeObservations {
  const placeOf = placesOf(shape, field);
  const level = levelBand(field, shape, { steps, beyond: 1.5, isBesideSeen: false });
  const noise = noiseOf(level, steps);
  const seen = boundariesOf(level, placeOf, { steps, reach, noise });
  const edges = ([0, 1] as const).map((v) => longEdge(field, shape, { steps, v, reach, noise }));
  const ends = ([0, 1] as const).map((u) =>
    stripEnd(field, shape, { steps, u, reach, noise, beside: Math.max(...edges.map((edge) => edge.besideEnds[u])) }),
  );
  return {
    lines: [...seen.observations, ...edges.flatMap((edge) => edge.observations)],
    boundaryOfLine: seen.boundaryOfLine,
    ends: [ends[0]!, ends[1]!],
    boundaries: seen.boundaries,
    edgeShares: [edges[0]!.share, edges[1]!.share],
    edgeStrength: Math.min(edges[0]!.strength, edges[1]!.strength),
    noise,
  };
}
