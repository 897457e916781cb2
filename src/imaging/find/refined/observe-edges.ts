// Where the long edges and the ends of a supposed strip are seen: straight lines at which the tones of its steps end.
// Numbers: common practice, no source (rendered scenes).
import type { PointPx } from "#shared/schema/reading.ts";
import { median } from "#shared/statistics/robust.ts";
import { valueAt, type Field } from "#src/imaging/find/smoothed-field.ts";
import { observed, type Observation, type Reach } from "./observation.ts";
import { placesOf, sizeOf, type StripShape } from "./strip-shape.ts";
import { straightEnd, toneOf, type ToneEnd, type ToneLine } from "./tone-ends.ts";

/** An end is placed to this many small pixels and this share of a step, a long edge to this share of the height. */
const endSigmaPx = 0.4;
const endSigmaSteps = 0.03;
const edgeSigmaHeights = 0.01;
/** An edge counts for no more than so many places along it. */
const edgePlaces = 24;
/** Places along the long edges, for each step. */
const placesOfStep = (steps: number): number => Math.min(6, Math.max(2, Math.round(54 / steps)));

/** Tones inside a step are taken at so many places across (or along) it. */
const insidePlaces = 12;
/** ... between these shares of the height (or of the step). */
const insideFrom = 0.2;
const insideTo = 0.8;
/** So far inside a line it is looked for, share of the reach; and the line may turn at its ends by so much. */
const innerShare = 0.85;
const leastInnerPx = 7;
/** Tones are read this far apart at least [small px], and so many times over the reach at most. */
const leastEveryPx = 0.5;
const samplesOfReach = 36;
const turnShare = 0.5;
/** What ends on a line lies this near it: small pixels, share of the height (or the step). */
const windowPx = 1.25;
const windowShare = 0.03;

/** An edge across which tones are read: its places, where they are read inside, and which way is outwards. */
interface EdgeToRead {
  readonly places: readonly {
    readonly along: number;
    readonly at: (outPx: number) => number;
    readonly inside: readonly number[];
  }[];
  readonly reachPx: number;
  readonly unitPx: number;
}

function readEdge({ places, reachPx, unitPx }: EdgeToRead, noise: number) {
  const innerPx = Math.min(Math.max(leastInnerPx, innerShare * reachPx), 0.45 * unitPx);
  const everyPx = Math.max(leastEveryPx, reachPx / samplesOfReach);
  const count = Math.ceil((innerPx + reachPx) / everyPx) + 1;
  const lines: ToneLine[] = places.map(({ along, at, inside }) => {
    const values = new Float64Array(count);
    for (let i = 0; i < count; i++) values[i] = at(i * everyPx - innerPx);
    return { along, ...toneOf(inside), values };
  });
  const nearPx = Math.max(windowPx, windowShare * unitPx);
  return straightEnd(lines, { innerPx, everyPx, noise }, { mostTurnPx: turnShare * reachPx, windowPx: nearPx });
}

const evenly = (count: number, from: number, to: number): number[] =>
  Array.from({ length: count }, (_, i) => from + ((to - from) * (i + 0.5)) / count);

/** Mean of the field on a few straight paths, at a share of the way along each of them. */
function meanAlongPaths(
  field: Field,
  paths: readonly (readonly [from: PointPx, to: PointPx])[],
): (share: number) => number {
  const numbers = Float64Array.from(paths.flatMap(([[x, y], [toX, toY]]) => [x, y, toX - x, toY - y]));
  return (share) => {
    let sum = 0;
    for (let i = 0; i < numbers.length; i += 4)
      sum += valueAt(field, numbers[i]! + share * numbers[i + 2]!, numbers[i + 1]! + share * numbers[i + 3]!);
    return sum / paths.length;
  };
}

/**
 * Looks for a long edge near its supposed place.
 * @param v 0 the upper edge, 1 the lower
 * @param noise of the field (log10)
 * @returns what was seen of it; the share of its places that end on one straight line; how much the tones change there
 *   (log10), over all places, and beside the dark and the pale end: 0 where no edge is seen beside that end
 */
export function longEdge(
  field: Field,
  shape: StripShape,
  {
    steps,
    v,
    reach,
    noise,
  }: { readonly steps: number; readonly v: 0 | 1; readonly reach: Reach; readonly noise: number },
): { observations: Observation[]; share: number; strength: number; besideEnds: readonly [number, number] } {
  const placeOf = placesOf(shape, field);
  const { length, height } = sizeOf(shape);
  const parts = placesOfStep(steps);
  const out = v === 0 ? -1 : 1;
  const inwards = 0.5 - v;
  const places = Array.from({ length: steps * parts }, (_, i) => {
    const step = Math.floor(i / parts);
    const u0 = (step + 0.12 + (0.76 * (i % parts)) / parts) / steps;
    const u1 = u0 + 0.76 / parts / steps;
    const columns = evenly(Math.max(1, Math.min(3, Math.round((u1 - u0) * length))), u0, u1);
    // Within half a height a place moves evenly enough.
    const read = meanAlongPaths(
      field,
      columns.map((u) => [placeOf(u, v), placeOf(u, v + inwards)] as const),
    );
    return {
      along: (u0 + u1) / 2,
      at: (outPx: number) => read((-2 * outPx) / height),
      inside: evenly(insidePlaces, insideFrom, insideTo).map((across) => read(2 * (v === 0 ? across : 1 - across))),
    };
  });
  const reachPx = Math.max(4, reach.edgeHeights * height);
  const end = readEdge({ places, reachPx, unitPx: height }, noise);
  if (end === null) return { observations: [], share: 0, strength: 0, besideEnds: [0, 0] };
  const nearEnd = Math.min(places.length, Math.round(besideEndSteps * parts));
  const besideEnd = (from: number): number => {
    const beside = end.ends.filter(({ line }) => line >= from && line < from + nearEnd);
    const shown = new Set(beside.map(({ line }) => line)).size;
    return shown < leastBesideEnd * nearEnd ? 0 : median(beside.map(({ contrast }) => contrast));
  };
  return {
    share: end.share,
    besideEnds: [besideEnd(0), besideEnd(places.length - nearEnd)],
    strength: end.ends.reduce((sum, { contrast }) => sum + contrast, 0) / places.length,
    observations: pooled(end.ends, places.length).map(({ line, outPx, contrast }) =>
      observed(placeOf, "of v", [places[line]!.along, v], [places[line]!.along, v + (out * outPx) / height], {
        sigmaPx: Math.hypot(endSigmaPx, edgeSigmaHeights * height, noise / Math.max(contrast, 0.01)),
        spread: out * (2 * places[line]!.along - 1),
      }),
    ),
  };
}

/** Neighbouring places along an edge, taken together where there are many: what moves an edge moves them alike. */
function pooled(ends: readonly ToneEnd[], places: number): ToneEnd[] {
  const groups = new Map<number, ToneEnd[]>();
  for (const end of ends) {
    const group = Math.floor((end.line * Math.min(edgePlaces, places)) / places);
    groups.set(group, [...(groups.get(group) ?? []), end]);
  }
  return [...groups.values()].map((group) => ({
    line: group[group.length >> 1]!.line,
    outPx: median(group.map(({ outPx }) => outPx)),
    contrast: median(group.map(({ contrast }) => contrast)),
  }));
}

/**
 * What surrounds a strip lies beside its last step as well as beyond it: where the tone goes on across the long edges
 * there, or changes far less than beyond the end, it ends there by chance, as a brush edge does. So many places beside
 * the end have to show an edge, and beyond the end it changes by at most so many times as much.
 */
const leastBesideEnd = 0.5;
const mostOverBeside = 2.5;
/** ... over so many steps. */
const besideEndSteps = 1.2;
/** An end differs from what lies beyond by at least this much (log10). */
const leastEndContrast = 0.05;

/** Rows across an end of which fewer end on one line show no end. */
const leastEndShare = 0.5;
const fewestEndPlaces = 6;
/** So many neighbouring rows across an end are moved alike, and count as one. */
const rowsAlike = 3;

/**
 * Looks for an end of the strip near its supposed place.
 * @param u 0 the dark end, 1 the pale one
 * @param noise of the field (log10)
 * @param beside how much the tones change across the long edges beside it (log10), 0 where nothing is seen
 * @returns what was seen of it; none where too few rows end on one straight line
 */
export function stripEnd(
  field: Field,
  shape: StripShape,
  {
    steps,
    u,
    reach,
    noise,
    beside,
  }: {
    readonly steps: number;
    readonly u: 0 | 1;
    readonly reach: Reach;
    readonly noise: number;
    readonly beside: number;
  },
): Observation[] {
  if (beside === 0) return [];
  const placeOf = placesOf(shape, field);
  const { length, height } = sizeOf(shape);
  const pitchPx = length / steps;
  const out = u === 0 ? -1 : 1;
  const rows = evenly(insidePlaces, 0.08, 0.92);
  const places = rows.map((v) => {
    const lines = evenly(Math.max(1, Math.min(4, Math.round(height / insidePlaces))), v - 0.03, v + 0.03);
    const read = meanAlongPaths(
      field,
      lines.map((row) => [placeOf(u, row), placeOf(u - out / steps, row)] as const),
    );
    return {
      along: v,
      at: (outPx: number) => read(-outPx / pitchPx),
      inside: evenly(insidePlaces, insideFrom, insideTo).map(read),
    };
  });
  const end = readEdge({ places, reachPx: Math.max(3, reach.endSteps * pitchPx), unitPx: pitchPx }, noise);
  if (end === null || end.share < leastEndShare || end.ends.length < fewestEndPlaces) return [];
  const contrast = median(end.ends.map((seen) => seen.contrast));
  if (contrast < leastEndContrast || contrast > mostOverBeside * beside) return [];
  return end.ends.map(({ line, outPx }) =>
    observed(placeOf, "of u", [u, rows[line]!], [u + (out * outPx) / length, rows[line]!], {
      sigmaPx: Math.sqrt(rowsAlike) * Math.hypot(endSigmaPx, endSigmaSteps * pitchPx),
    }),
  );
}
