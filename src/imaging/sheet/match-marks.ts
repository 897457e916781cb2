// Which of the ring-like things in a picture are the four marks of the sheet, and the map that they give.
import { ofEachCorner } from "#shared/reading/corners/each-corner.ts";
import {
  homographyFromCorners,
  inverseHomography,
  mapPoint,
  type Homography,
} from "#shared/reading/corners/homography.ts";
import { homographyFromPoints, type PointPair } from "#shared/reading/corners/homography-from-points.ts";
import type { Corners, PointPx } from "#shared/schema/reading.ts";
import { markRadiiMm, type SheetLayout } from "#shared/tablet/wedge-sheet-layout.ts";
import type { RedPlane } from "./red-plane.ts";
import { ringCandidates, type RingCandidate } from "./ring-marks.ts";

/** How far a mark may lie from where the code's four corners, a sixth of the sheet wide, put it [mm]. */
const codeReachMm = 30;
/** How far the mark beside the code may lie from where the code puts it [mm]. */
const nearCodeReachMm = 9;
/** Four marks must put the code's corners this near to where they were seen [mm]. */
const codeErrorMm = 2;
/** Other ring-like things in the picture that are tried as marks. */
const mostOtherMarks = 12;
/** How far a mark may lie from where three others and the code put it [mm]. */
export const marksReachMm = 9;

export function codeCorners({ code }: SheetLayout): [number, number][] {
  const [left, top, right, bottom] = [code.xMm, code.yMm, code.xMm + code.sizeMm, code.yMm + code.sizeMm];
  return [
    [left, top],
    [right, top],
    [right, bottom],
    [left, bottom],
  ];
}

/** Ring candidates in full picture pixels. */
export function candidatesIn(plane: RedPlane, inverted: boolean): RingCandidate[] {
  const full = (value: number): number => (value + 0.5) * plane.factor - 0.5;
  return ringCandidates(plane, inverted).map((ring) => ({
    ...ring,
    x: full(ring.x),
    y: full(ring.y),
    diameter: ring.diameter * plane.factor,
  }));
}

/**
 * The four candidates that, taken as the marks, put the code where it was seen. The code is too small to say where the
 * far marks lie under a strong tilt; but four marks say exactly where the code must be. Null when no four do.
 */
export function fourMarks(
  layout: SheetLayout,
  candidates: readonly RingCandidate[],
  code: Corners,
): RingCandidate[] | null {
  const codeMm = codeCorners(layout);
  const fromCode = homographyFromPoints(codeMm.map((from, i) => ({ from, to: code[i]! })));
  const sidePx =
    (Math.hypot(code[1][0] - code[0][0], code[1][1] - code[0][1]) +
      Math.hypot(code[3][0] - code[0][0], code[3][1] - code[0][1])) /
    2;
  const pxPerMm = sidePx / layout.code.sizeMm;
  const [x, y] = mapPoint(fromCode, layout.marks[0].xMm, layout.marks[0].yMm);
  const first = candidates
    .filter((ring) => Math.hypot(ring.x - x, ring.y - y) < nearCodeReachMm * pxPerMm)
    .sort(
      (a, b) => Number(b.hollow) - Number(a.hollow) || Math.hypot(a.x - x, a.y - y) - Math.hypot(b.x - x, b.y - y),
    )[0];
  if (first === undefined) return null;
  const others = candidates
    .filter((ring) => ring !== first && ring.diameter > 0.4 * first.diameter && ring.diameter < 2 * first.diameter)
    .sort((a, b) => Math.abs(Math.log(a.diameter / first.diameter)) - Math.abs(Math.log(b.diameter / first.diameter)))
    .slice(0, mostOtherMarks);
  let best: RingCandidate[] | null = null;
  let bestError = codeErrorMm * pxPerMm;
  for (const second of others) {
    for (const third of others) {
      for (const fourth of others) {
        if (second === third || third === fourth || fourth === second) continue;
        const corners = ofEachCorner([first, second, third, fourth], (ring): PointPx => [ring.x, ring.y]);
        if (!isConvex(corners)) continue;
        const map = mapFromMarks(layout, corners);
        const error = Math.sqrt(
          codeMm.reduce((sum, from, i) => {
            const [px, py] = mapPoint(map, from[0], from[1]);
            return sum + (px - code[i]![0]) ** 2 + (py - code[i]![1]) ** 2;
          }, 0) / 4,
        );
        if (error < bestError) [best, bestError] = [[first, second, third, fourth], error];
      }
    }
  }
  return best;
}

/** Map from millimetres to pixels that puts the four marks on four points. */
export function mapFromMarks(layout: SheetLayout, corners: Corners): Homography {
  const [topLeft, , bottomRight] = layout.marks;
  const [sx, sy] = [1 / (bottomRight.xMm - topLeft.xMm), 1 / (bottomRight.yMm - topLeft.yMm)];
  const [a, b, c, d, e, f, g, h, i] = homographyFromCorners(corners);
  const [tx, ty] = [-topLeft.xMm * sx, -topLeft.yMm * sy];
  return [
    a * sx,
    b * sy,
    a * tx + b * ty + c,
    d * sx,
    e * sy,
    d * tx + e * ty + f,
    g * sx,
    h * sy,
    g * tx + h * ty + i,
  ];
}

/**
 * For every mark the nearest candidate of fitting size; nearest the code first, each mark found improving the search
 * for the next.
 */
export function matchMarks(
  layout: SheetLayout,
  candidates: readonly RingCandidate[],
  start: readonly PointPair[],
  reachMm?: number,
): (RingCandidate | null)[] {
  const matched: (RingCandidate | null)[] = [null, null, null, null];
  const pairs = [...start];
  for (const index of [0, 1, 3, 2] as const) {
    const mark = layout.marks[index];
    const map = homographyFromPoints(pairs);
    const [x, y] = mapPoint(map, mark.xMm, mark.yMm);
    const across = (["x", "y"] as const).map((axis) => {
      const half = markRadiiMm.outer;
      const [p, q] =
        axis === "x"
          ? [mapPoint(map, mark.xMm - half, mark.yMm), mapPoint(map, mark.xMm + half, mark.yMm)]
          : [mapPoint(map, mark.xMm, mark.yMm - half), mapPoint(map, mark.xMm, mark.yMm + half)];
      return Math.hypot(p[0] - q[0], p[1] - q[1]);
    });
    const expected = (across[0]! + across[1]!) / 2;
    const pxPerMm = expected / (2 * markRadiiMm.outer);
    const reach = (reachMm ?? (index === 2 ? marksReachMm : codeReachMm)) * pxPerMm;
    let best: RingCandidate | null = null;
    let bestCost = Infinity;
    for (const ring of candidates) {
      const distance = Math.hypot(ring.x - x, ring.y - y);
      if (distance > reach || ring.diameter < 0.6 * expected || ring.diameter > 1.7 * expected) continue;
      const cost =
        distance / reach + 2 * Math.abs(Math.log(ring.diameter / expected)) + (ring.hollow === mark.hollow ? 0 : 0.5);
      if (cost < bestCost) [best, bestCost] = [ring, cost];
    }
    matched[index] = best;
    if (best !== null) pairs.push({ from: [mark.xMm, mark.yMm], to: [best.x, best.y], sigma: 1 });
  }
  return matched;
}

/** The map that the matched marks give, and how far the worst of them lies from it. */
export function mapByMarks(
  layout: SheetLayout,
  matched: readonly (RingCandidate | null)[],
  codePairs: readonly PointPair[],
): { toPicture: Homography; markErrorMm: number } {
  const pairs = layout.marks.flatMap((mark, i): PointPair[] =>
    matched[i] ? [{ from: [mark.xMm, mark.yMm], to: [matched[i].x, matched[i].y], sigma: 1 }] : [],
  );
  // The code's corners are good to a few pixels only: they matter when a mark is missing, and hardly otherwise.
  const toPicture = homographyFromPoints([...pairs, ...codePairs]);
  const back = inverseHomography(toPicture);
  const markErrorMm = Math.max(
    ...pairs.map(({ from, to }) => {
      const [x, y] = mapPoint(back, to[0], to[1]);
      return Math.hypot(x - from[0], y - from[1]);
    }),
  );
  return { toPicture, markErrorMm };
}

/**
 * Whether four corners go round a quadrilateral without crossing or lying on a line; either way round, since a print
 * may be mirrored.
 */
export function isConvex(corners: Corners): boolean {
  const turns = corners.map((b, i) => {
    const [a, c] = [corners[(i + 3) % 4]!, corners[(i + 1) % 4]!];
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]);
  });
  return turns.every((turn) => turn > 1) || turns.every((turn) => turn < -1);
}

/** Whether the sheet's left and right are exchanged in the picture. */
export function isMirrored(toPicture: Homography, layout: SheetLayout): boolean {
  const [a, b, , d] = ofEachCorner(layout.marks, (mark) => mapPoint(toPicture, mark.xMm, mark.yMm));
  return (b[0] - a[0]) * (d[1] - a[1]) - (b[1] - a[1]) * (d[0] - a[0]) < 0;
}
