// A straightened view of the neighbourhood of a suspected strip: s runs along it, t across it.
import type { Corners, PointPx } from "#shared/schema/reading.ts";
import type { EdgeGroup } from "./edge-groups.ts";
import type { Segment } from "./edge-segments.ts";
import { valueAt, type Field } from "./small-picture.ts";

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
function heldLine(
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

/** How fast the lean of the boundaries changes along the strip [per small px]: a tilted camera turns them by a few degrees over some hundred pixels. */
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

/** Value of a field at a place given by the boundary through (s, middle) and a share across (0 top, 1 bottom). */
export function valueAcross(field: Field, frame: StripFrame, s: number, share: number): number {
  const t = (frame.top[0] + frame.top[1] * s) * (1 - share) + (frame.bottom[0] + frame.bottom[1] * s) * share;
  const leaned = s + (frame.lean[0] + frame.lean[1] * s) * t;
  const [x, y] = frameToSmall(frame, leaned, t);
  return valueAt(field, x, y);
}

/** Widest look for the long edges, in strip heights from the middle. */
const widestLook = 3;

/**
 * Sets the height of the frame to where the step boundaries end across the strip.
 * @param falls places along the strip of seen boundaries, with the local pitch there
 */
export function heightFromBoundaries(
  field: Field,
  frame: StripFrame,
  falls: readonly { readonly s: number; readonly pitch: number }[],
): StripFrame {
  const height = frame.bottom[0] - frame.top[0];
  const reach = Math.ceil(widestLook * height);
  const middle = (frame.bottom[0] + frame.top[0]) / 2;
  const energy = new Float32Array(2 * reach + 1);
  const at = (s: number, t: number) => {
    const leaned = s + (frame.lean[0] + frame.lean[1] * s) * t;
    const [x, y] = frameToSmall(frame, leaned, t);
    return x < 1 || y < 1 || x > field.width - 1 || y > field.height - 1 ? Number.NaN : valueAt(field, x, y);
  };
  for (let k = -reach; k <= reach; k++) {
    // The middle boundary decides, so that a hair or a patch beside the strip has no say.
    const changes = falls
      .map(({ s, pitch }) => at(s - 0.35 * pitch, middle + k) - at(s + 0.35 * pitch, middle + k))
      .filter((change) => Number.isFinite(change))
      .sort((a, b) => a - b);
    energy[k + reach] = changes.length === 0 ? 0 : Math.max(0, changes[changes.length >> 1]!);
  }
  const core = Array.from(energy.subarray(reach - Math.ceil(height / 4), reach + Math.ceil(height / 4) + 1)).sort(
    (a, b) => a - b,
  );
  const inside = core[core.length >> 1]!;
  if (!(inside > 0)) return frame;
  const edge = (direction: 1 | -1): number => {
    let low = 0;
    for (let k = 0; Math.abs(k) <= reach; k += direction) {
      if (energy[k + reach]! < 0.5 * inside) low++;
      else low = 0;
      // A short gap is a hair; a long one the edge.
      if (low > Math.max(2, 0.12 * height)) return middle + k - direction * (low - 0.5);
    }
    return middle + direction * reach;
  };
  return { ...frame, top: [edge(-1), frame.top[1]], bottom: [edge(1), frame.bottom[1]] };
}

/** A long edge: its line, how strongly the field changes across it, and how sure its slope is. */
export interface LongEdge {
  readonly line: readonly [number, number];
  readonly strength: number;
  readonly slopeSigma: number;
}

/** Adds a column of changes, shifted, to the sums; what is shifted out of range is left out. */
function addShifted(sums: Float64Array, change: Float32Array, from: number, shift: number): void {
  const to = Math.min(sums.length, sums.length - shift);
  for (let k = Math.max(0, -shift); k < to; k++) sums[k]! += change[from + k + shift]!;
}

/** Moves the long edges to where the field changes across the strip, as straight lines. @param range s of the boundaries that are sure */
export function settleLongEdges(
  field: Field,
  frame: StripFrame,
  range: readonly [number, number],
): { frame: StripFrame; edges: readonly [LongEdge, LongEdge] } {
  const height = frame.bottom[0] - frame.top[0];
  const half = Math.ceil(Math.max(3, 0.22 * height));
  const extra = 0.35 * (range[1] - range[0]);
  const s0 = Math.max(frame.sFrom, range[0] - extra);
  const s1 = Math.min(frame.sTo, range[1] + extra);
  const columns = Math.max(8, Math.min(120, Math.round(s1 - s0)));
  const wide = 2 * half + 1;
  const settle = (edge: readonly [number, number]): LongEdge => {
    const place = (i: number) => s0 + ((s1 - s0) * (i + 0.5)) / columns;
    // Change across the edge at every column and offset, capped so that one strong column does not decide.
    const change = new Float32Array(columns * wide);
    for (let i = 0; i < columns; i++) {
      const s = place(i);
      for (let k = -half; k <= half; k++) {
        const t = edge[0] + edge[1] * s + k;
        const leaned = s + (frame.lean[0] + frame.lean[1] * s) * t;
        const [ax, ay] = frameToSmall(frame, leaned, t - 1);
        const [bx, by] = frameToSmall(frame, leaned, t + 1);
        change[i * wide + k + half] = Math.min(Math.abs(valueAt(field, bx, by) - valueAt(field, ax, ay)), 0.4);
      }
    }
    const middle = (s0 + s1) / 2;
    let best = { score: -1, offset: 0, slope: 0 };
    const tilted = new Int32Array(columns);
    const sums = new Float64Array(wide);
    for (let slope = -0.15; slope <= 0.1501; slope += 0.01) {
      for (let i = 0; i < columns; i++) tilted[i] = Math.round(slope * (place(i) - middle));
      sums.fill(0);
      for (let i = 0; i < columns; i++) addShifted(sums, change, i * wide, tilted[i]!);
      for (let offset = -half; offset <= half; offset++) {
        // Prefer the place that the boundaries' ends suggest when little speaks for another.
        const score = sums[offset + half]! * (1 - 0.35 * (Math.abs(offset) / half) ** 2);
        if (score > best.score) best = { score, offset, slope };
      }
    }
    // To a fraction of a pixel: the strongest place near the line in every column, a robust line through them.
    let line: readonly [number, number] = [best.offset, best.slope];
    let slopeSigma = 0.02;
    for (let round = 0; round < 3; round++) {
      const points: [number, number, number][] = [];
      for (let i = 0; i < columns; i++) {
        const s = place(i) - middle;
        const near = Math.round(line[0] + line[1] * s);
        let peak = -1;
        for (let k = Math.max(-half + 1, near - 3); k <= Math.min(half - 1, near + 3); k++)
          if (peak < 0 || change[i * wide + k + half]! > change[i * wide + peak]!) peak = k + half;
        if (peak < 1) continue;
        const [l, c, r] = [change[i * wide + peak - 1]!, change[i * wide + peak]!, change[i * wide + peak + 1]!];
        const curve = l - 2 * c + r;
        const shift = curve < 0 ? Math.min(Math.max((0.5 * (l - r)) / curve, -0.5), 0.5) : 0;
        const k = peak - half + shift;
        const off = k - line[0] - line[1] * s;
        points.push([s, k, (c * c) / (1 + off * off)]);
      }
      if (points.length < 6) break;
      const fitted = heldLine(points, 0.15, 1);
      const total = points.reduce((sum, p) => sum + p[2], 0);
      const spread = Math.sqrt(
        points.reduce((sum, p) => sum + p[2] * (p[1] - fitted[0] - fitted[1] * p[0]) ** 2, 0) / total,
      );
      const centre = points.reduce((sum, p) => sum + p[2] * p[0], 0) / total;
      const lever = Math.sqrt(points.reduce((sum, p) => sum + p[2] * (p[0] - centre) ** 2, 0) / total);
      const effective = total ** 2 / points.reduce((sum, p) => sum + p[2] ** 2, 0);
      slopeSigma = Math.max(
        0.0005,
        (2 * Math.max(spread, 0.25)) / Math.max(lever, 1) / Math.sqrt(Math.max(1, effective / 4)),
      );
      line = fitted;
    }
    return {
      line: [edge[0] + line[0] - line[1] * middle, edge[1] + line[1]],
      strength: best.score / columns,
      slopeSigma,
    };
  };
  const edges = [settle(frame.top), settle(frame.bottom)] as const;
  return { frame: { ...frame, top: edges[0].line, bottom: edges[1].line }, edges };
}
