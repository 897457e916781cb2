// Where the step boundaries lie along a strip: the even comb that catches most falls of the field.
// Numbers: common practice, no source (tuned on rendered scenes).
import { followBoundaries, halfShare, mostTeeth, type StepComb, type StepGrid } from "./follow-boundaries.ts";
import { boundaryAt, fallAt, lineAt, type StripBand } from "./strip-band.ts";

/**
 * How far round the pitch it is looked for, on either side; in steps (shares of it) fine enough for thirty boundaries.
 */
const pitchSteps = { sure: 2, unsure: 6 } as const;
const pitchStepShare = 0.015;
const phases = 16;
/** Where round a supposed boundary its fall is looked for, shares of the pitch. */
const placesRound = [-0.2, -0.1, 0, 0.1, 0.2];
/** A tooth has to earn this share of a typical fall, or it counts against the comb. */
const toothCost = 0.22;
/** A tooth counts for at most this many typical falls, and costs at most this many when the field rises there. */
const mostGain = 1.4;
const mostLoss = 2;
/** What a fall midway between two teeth costs, share of what it would earn on one. */
const betweenCost = 0.7;

/**
 * The comb that catches most falls.
 * @param supposed places of boundaries, their pitch [small px], and the perspective for boundary 0 at `origin` with its
 *   spread
 * @param isPitchSure false looks at half and at twice the pitch as well
 * @returns null when nothing like a row of steps is there
 */
export function stepComb(
  band: StripBand,
  supposed: {
    readonly places: readonly number[];
    readonly pitch: number;
    readonly shrink: number;
    readonly shrinkSpread: number;
    readonly origin: number;
  },
  isPitchSure: boolean,
): StepComb | null {
  // Either side of a thin line may have been seen for the boundary, so it is looked for round the place as well.
  const falls = supposed.places
    .map((s) =>
      Math.max(
        ...placesRound.map((off) =>
          boundaryAt(band, s + off * supposed.pitch, halfShare * supposed.pitch, supposed.pitch),
        ),
      ),
    )
    .filter((fall) => fall > 0)
    .sort((a, b) => a - b);
  const typical = falls[falls.length >> 1];
  if (typical === undefined) return null;
  let best = null as { score: number; grid: StepGrid; first: number; last: number } | null;
  const most = isPitchSure ? pitchSteps.sure : pitchSteps.unsure;
  const search = (multiple: number, shrinks: readonly number[]) => {
    const gains = toothGains(band, supposed.pitch * multiple, typical);
    for (let i = -most; i <= most; i++) {
      const pitch = supposed.pitch * multiple * (1 + pitchStepShare * i);
      if (pitch < 3) continue;
      for (const z of shrinks) {
        const shrink = supposed.shrink + z * supposed.shrinkSpread;
        for (let phase = 0; phase < phases; phase++) {
          const grid = { start: supposed.origin + (pitch * phase) / phases, pitch, shrink };
          const run = bestRun(band, grid, gains);
          if (best === null || run.score > best.score) best = { ...run, grid };
        }
      }
    }
  };
  search(1, [-1.5, -0.75, 0, 0.75, 1.5]);
  if (!isPitchSure) for (const multiple of [0.5, 2]) search(multiple, [0]);
  if (best === null || best.last - best.first < 1) return null;
  return followBoundaries(band, best.grid, best.first, best.last);
}

/** So many places along one small pixel are tried for a tooth. */
const gainsPerPx = 2;

/** What a tooth earns at every place along the band, where the teeth are about one pitch apart. */
function toothGains(band: StripBand, pitch: number, typical: number): Float32Array {
  const gains = new Float32Array(gainsPerPx * band.count + 1);
  const half = halfShare * pitch;
  for (let i = 0; i < gains.length; i++) {
    const s = band.from + i / gainsPerPx;
    const on = boundaryAt(band, s, half, pitch);
    const between = s + 0.5 * pitch;
    const off = Math.abs(fallAt(band, between, half)) + lineAt(band, between, pitch);
    gains[i] =
      Math.min(Math.max(on / typical, -mostLoss), mostGain) -
      betweenCost * Math.min(off / typical, mostGain) -
      toothCost;
  }
  return gains;
}

/** The run of teeth that earns most. */
function bestRun(
  band: StripBand,
  { start, pitch, shrink }: StepGrid,
  gains: Float32Array,
): { score: number; first: number; last: number } {
  let [score, first, last] = [0, 0, -1];
  let sum = 0;
  let runFrom = 0;
  const to = band.from + band.count;
  // Perspective may bring a few more teeth into the picture than an even comb has.
  const k0 = Math.max(-mostTeeth, Math.ceil((band.from - start) / pitch) - 12);
  const k1 = Math.min(mostTeeth, Math.floor((to - start) / pitch) + 12);
  for (let k = k0; k <= k1; k++) {
    const scale = 1 + shrink * k;
    if (scale < 0.3) continue;
    const s = start + (pitch * k) / scale;
    if (s < band.from || s > to) continue;
    if (sum <= 0) {
      sum = 0;
      runFrom = k;
    }
    sum += gains[Math.round((s - band.from) * gainsPerPx)]!;
    if (sum > score) {
      score = sum;
      first = runFrom;
      last = k;
    }
  }
  return { score, first, last };
}
