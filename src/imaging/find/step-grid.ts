// The even grid of step boundaries along a strip, as perspective shows it: s(k) = a + pitch k / (1 + c k).

export interface StepGrid {
  /** Place of boundary 0 along the strip [small px]. */
  readonly start: number;
  /** Spacing at boundary 0 [small px]. */
  readonly pitch: number;
  /** Perspective: how the spacing shrinks with k. */
  readonly shrink: number;
}

/** A boundary seen in the profile. */
export interface Boundary {
  readonly k: number;
  readonly s: number;
  readonly weight: number;
}

/** Place of boundary k (any number, also between boundaries). */
export function gridAt(grid: StepGrid, k: number): number {
  return grid.start + (grid.pitch * k) / (1 + grid.shrink * k);
}

/** The boundary number at a place; the inverse of gridAt. */
export function gridIndex(grid: StepGrid, s: number): number {
  const d = s - grid.start;
  return d / (grid.pitch - grid.shrink * d);
}

/** Local spacing at a boundary [small px]. */
export function pitchAt(grid: StepGrid, k: number): number {
  return grid.pitch / (1 + grid.shrink * k) ** 2;
}

/**
 * The grid through seen boundaries, robust against a few wrong ones.
 * @param boundaries at least two
 * @param shrink what the converging long edges say, and how sure that is
 */
export function fitGrid(boundaries: readonly Boundary[], shrink: { readonly expected: number; readonly sigma: number }, noisePx = 0.5): { grid: StepGrid; residualShare: number } {
  const ks = boundaries.map((b) => b.k);
  const reach = Math.max(...ks.map(Math.abs), 1);
  let best: { grid: StepGrid; cost: number; residual: number } | null = null;
  // The grid is linear in start and pitch once the perspective is fixed, so that is searched.
  const span = Math.min(0.6 / reach, 0.03);
  for (let i = -24; i <= 24; i++) {
    const c = (span * i) / 24;
    const fit = robustLine(boundaries.map((b) => ({ x: b.k / (1 + c * b.k), y: b.s, w: b.weight })), noisePx);
    const cost = fit.cost + ((c - shrink.expected) / shrink.sigma) ** 2;
    if (fit.slope > 0 && (best === null || cost < best.cost)) best = { grid: { start: fit.intercept, pitch: fit.slope, shrink: c }, cost, residual: fit.residual };
  }
  if (best === null) return { grid: { start: boundaries[0]!.s, pitch: 1, shrink: 0 }, residualShare: 1 };
  return { grid: best.grid, residualShare: best.residual / best.grid.pitch };
}

function robustLine(points: readonly { x: number; y: number; w: number }[], noise: number): { intercept: number; slope: number; cost: number; residual: number } {
  let weights = points.map((p) => p.w);
  let intercept = 0;
  let slope = 0;
  for (let round = 0; round < 6; round++) {
    let [w, x, y, xx, xy] = [0, 0, 0, 0, 0];
    points.forEach((p, i) => {
      const pw = weights[i]!;
      w += pw;
      x += pw * p.x;
      y += pw * p.y;
      xx += pw * p.x * p.x;
      xy += pw * p.x * p.y;
    });
    const spread = xx - (x * x) / w;
    slope = spread > 1e-9 ? (xy - (x * y) / w) / spread : 0;
    intercept = (y - slope * x) / w;
    weights = points.map((p) => p.w / (1 + ((p.y - intercept - slope * p.x) / (2.5 * noise)) ** 2));
  }
  let cost = 0;
  let squares = 0;
  let total = 0;
  for (const p of points) {
    const r = p.y - intercept - slope * p.x;
    cost += p.w * Math.log1p((r / (2 * noise)) ** 2);
    squares += p.w * Math.min(r * r, (6 * noise) ** 2);
    total += p.w;
  }
  return { intercept, slope, cost, residual: Math.sqrt(squares / total) };
}
