// A straightened view of the neighbourhood of a suspected strip: s runs along it, t across it.
import type { Corners, PointPx } from "#shared/schema/reading.ts";
import type { EdgeGroup } from "./edge-groups.ts";
import type { Segment } from "./edge-segments.ts";
import { valueAt, type Field } from "./smoothed-field.ts";

/** A frame of straight axes laid over the small picture. */
export interface StripFrame {
  readonly originX: number;
  readonly originY: number;
  readonly alongX: number;
  readonly alongY: number;
  /** How far boundaries lean: s shifts by lean(s) * t. Two numbers: at s = 0, and change with s. */
  readonly lean: readonly [number, number];
  /** Long edges: t = edge[0] + edge[1] * s. */
  readonly top: readonly [number, number];
  readonly bottom: readonly [number, number];
  /** Range of s inside the picture along the middle line. */
  readonly sFrom: number;
  readonly sTo: number;
}

/** A point of the frame in small pixels. */
export function frameToSmall(frame: StripFrame, s: number, t: number): [number, number] {
  return [frame.originX + frame.alongX * s - frame.alongY * t, frame.originY + frame.alongY * s + frame.alongX * t];
}

/** A point in small pixels along and across the frame; the inverse of frameToSmall. */
export function smallToFrame(frame: StripFrame, x: number, y: number): [number, number] {
  const [dx, dy] = [x - frame.originX, y - frame.originY];
  return [dx * frame.alongX + dy * frame.alongY, -dx * frame.alongY + dy * frame.alongX];
}

const weightedMedian = (pairs: readonly (readonly [number, number])[]) => {
  const sorted = [...pairs].sort((a, b) => a[0] - b[0]);
  const half = sorted.reduce((sum, pair) => sum + pair[1], 0) / 2;
  let sum = 0;
  for (const [value, weight] of sorted) {
    sum += weight;
    if (sum >= half) return value;
  }
  return 0;
};

/** Straight line y = a + b x by weighted least squares, with b held towards 0 by a prior of the given size. */
export function heldLine(
  points: readonly (readonly [number, number, number])[],
  slopeSize: number,
  noise: number,
): readonly [number, number] {
  let [w, x, y, xx, xy] = [0, 0, 0, 0, 0];
  for (const [px, py, pw] of points) {
    w += pw;
    x += pw * px;
    y += pw * py;
    xx += pw * px * px;
    xy += pw * px * py;
  }
  if (w === 0) return [0, 0];
  const held = (w * (noise / slopeSize) ** 2) / Math.max(1, points.length);
  const slope = (xy - (x * y) / w) / (xx - (x * x) / w + held);
  return [(y - slope * x) / w, slope];
}

/** How sure such a line is at a place: standard deviation, with the same prior. */
export function heldLineSigma(
  points: readonly (readonly [number, number, number])[],
  { at, slopeSize, noise }: { readonly at: number; readonly slopeSize: number; readonly noise: number },
): number {
  const most = points.reduce((weight, point) => Math.max(weight, point[2]), 0);
  if (most === 0) return Number.POSITIVE_INFINITY;
  let [count, x] = [0, 0];
  for (const [px, , pw] of points) {
    count += pw / most;
    x += (pw / most) * px;
  }
  const centre = x / count;
  const spread = points.reduce((sum, [px, , pw]) => sum + (pw / most) * (px - centre) ** 2, 0);
  const slopeVariance = 1 / (spread / noise ** 2 + 1 / slopeSize ** 2);
  return Math.sqrt(noise ** 2 / count + (at - centre) ** 2 * slopeVariance);
}

/** ... robust: points further off than twice the noise lose their weight. */
export function robustHeldLine(
  points: readonly (readonly [number, number, number])[],
  slopeSize: number,
  noise: number,
): readonly [number, number] {
  let line = heldLine(points, slopeSize, noise);
  for (let round = 0; round < 5; round++) {
    line = heldLine(
      points.map(([x, y, w]) => [x, y, w / (1 + ((y - line[0] - line[1] * x) / (2 * noise)) ** 2)]),
      slopeSize,
      noise,
    );
  }
  return line;
}

/** Where along the line through the origin the picture ends, both ways. */
function spanInside(x: number, y: number, dx: number, dy: number, width: number, height: number): [number, number] {
  let low = -Infinity;
  let high = Infinity;
  for (const [p, d, size] of [
    [x, dx, width],
    [y, dy, height],
  ] as const) {
    if (Math.abs(d) < 1e-9) continue;
    const [a, b] = [-p / d, (size - p) / d];
    low = Math.max(low, Math.min(a, b));
    high = Math.min(high, Math.max(a, b));
  }
  return [low, high];
}

/**
 * How fast the lean of the boundaries changes along the strip [per small px]: a tilted camera turns them by a few
 * degrees over some hundred pixels.
 */
const usualLeanChangePerPx = 0.0003;

/** First frame of a group: axis through its boundaries, long edges half its height away. */
export function frameOfGroup(group: EdgeGroup, field: Field): StripFrame {
  const { alongX, alongY, members, heightPx } = group;
  const placed = members.map((member) => place(member, alongX, alongY));
  const originS = weightedMedian(placed.map((p) => [p.s, p.length]));
  const originT = weightedMedian(placed.map((p) => [p.t, p.length]));
  // Short pieces of a boundary lie off the middle; long ones say where the axis runs and how it turns.
  const long = placed.filter((p) => p.length > 0.6 * heightPx);
  const axis = heldLine(
    long.map((p) => [p.s - originS, p.t - originT, p.length]),
    0.05,
    2,
  );
  const turn = Math.atan(axis[1]);
  const [c, n] = [Math.cos(turn), Math.sin(turn)];
  const [ax, ay] = [alongX * c - alongY * n, alongX * n + alongY * c];
  const x = alongX * originS - alongY * (originT + axis[0]);
  const y = alongY * originS + alongX * (originT + axis[0]);
  const lean = robustHeldLine(
    placed.map((p) => [
      p.s - originS,
      -(p.acrossT * c - p.acrossS * n) / Math.max(0.5, p.acrossS * c + p.acrossT * n),
      p.length * p.length,
    ]),
    usualLeanChangePerPx,
    0.05,
  );
  const [sFrom, sTo] = spanInside(x, y, ax, ay, field.width, field.height);
  return {
    originX: x,
    originY: y,
    alongX: ax,
    alongY: ay,
    lean: [lean[0], lean[1]],
    top: [-heightPx / 2, 0],
    bottom: [heightPx / 2, 0],
    sFrom,
    sTo,
  };
}

/** Frame of a strip whose corners are known. @param corners small pixels, the dark end first */
export function frameOfCorners(corners: Corners, field: Field): StripFrame {
  const [a, b, c, d] = corners;
  const [x0, y0] = [(a[0] + d[0]) / 2, (a[1] + d[1]) / 2];
  const [x1, y1] = [(b[0] + c[0]) / 2, (b[1] + c[1]) / 2];
  const length = Math.hypot(x1 - x0, y1 - y0);
  const [alongX, alongY] = [(x1 - x0) / length, (y1 - y0) / length];
  const [originX, originY] = [(x0 + x1) / 2, (y0 + y1) / 2];
  const inFrame = ([x, y]: PointPx) => ({
    s: (x - originX) * alongX + (y - originY) * alongY,
    t: -(x - originX) * alongY + (y - originY) * alongX,
  });
  const [topLeft, topRight, bottomRight, bottomLeft] = [inFrame(a), inFrame(b), inFrame(c), inFrame(d)];
  const edge = (from: { s: number; t: number }, to: { s: number; t: number }): readonly [number, number] => {
    const slope = (to.t - from.t) / (to.s - from.s);
    return [from.t - slope * from.s, slope];
  };
  const leanOf = (top: { s: number; t: number }, bottom: { s: number; t: number }) =>
    (bottom.s - top.s) / (bottom.t - top.t);
  const [leanFirst, leanLast] = [leanOf(topLeft, bottomLeft), leanOf(topRight, bottomRight)];
  const [sFrom, sTo] = spanInside(originX, originY, alongX, alongY, field.width, field.height);
  return {
    originX,
    originY,
    alongX,
    alongY,
    lean: [(leanFirst + leanLast) / 2, (leanLast - leanFirst) / length],
    top: edge(topLeft, topRight),
    bottom: edge(bottomLeft, bottomRight),
    sFrom,
    sTo,
  };
}

function place(segment: Segment, alongX: number, alongY: number) {
  return {
    s: segment.x * alongX + segment.y * alongY,
    t: -segment.x * alongY + segment.y * alongX,
    acrossS: segment.acrossX * alongX + segment.acrossY * alongY,
    acrossT: -segment.acrossX * alongY + segment.acrossY * alongX,
    length: segment.length,
  };
}

/**
 * Value of a field at a place of the frame; written without a pair of numbers in between, since it is asked for most
 * often.
 */
export function valueInFrame(field: Field, frame: StripFrame, s: number, t: number): number {
  return valueAt(
    field,
    frame.originX + frame.alongX * s - frame.alongY * t,
    frame.originY + frame.alongY * s + frame.alongX * t,
  );
}
