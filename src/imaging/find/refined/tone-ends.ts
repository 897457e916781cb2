// Where the tone of the steps ends, going out across an edge of the strip: a straight line at which most places along
// the edge leave their own tone, and before which few do. What lies beyond may be paper, coating or both.
// Numbers: common practice, no source (rendered scenes).
import { robustSigma } from "#shared/statistics/robust.ts";

/** Tones read across an edge at one place along it, from inside outwards. */
export interface ToneLine {
  /** Share of the edge at which it lies, 0 to 1. */
  readonly along: number;
  /** Tone of the step there, and how it scatters. */
  readonly tone: number;
  readonly scatter: number;
  readonly values: Float64Array;
}

/** One place where the tone ends. */
export interface ToneEnd {
  readonly line: number;
  /** Distance outwards from where the edge was supposed [small px]. */
  readonly outPx: number;
  /** How far the tone beyond differs. */
  readonly contrast: number;
}

export interface StraightEnd {
  readonly ends: readonly ToneEnd[];
  /** Share of the places whose tone ends anywhere that it does so on the line. */
  readonly share: number;
}

/** A tone ends where it differs by so much (log10), and by so many times its scatter, over this stretch [small px]. */
const leastChange = 0.015;
const overScatter = 3.5;
const lastingPx = 1.5;
/** ... after being itself over this stretch [small px]: what comes before is a number or a hair. */
const leastRunPx = 2.5;
const leastHalfRunPx = 1;
/** The edge lies where the tone changes most, within this of where it begins to [small px]. */
const edgeBeforePx = 1;
const edgeAfterPx = 4;
/** What lies beyond is looked at so far from it [small px]. */
const beyondPx = 3;
/** A tone that ends before the line speaks against it by this much, and one on it for it by 1. */
const costOfBefore = 0.1;
/** Lines are tried so far apart [small px], and so many slopes on either side. */
const lineEveryPx = 0.5;
const slopes = 10;

const samplesOf = (px: number, everyPx: number): number => Math.max(1, Math.round(px / everyPx));

/** How the lines of tones are read: how far inside the supposed edge they begin, and their samples apart. */
export interface ToneReading {
  readonly innerPx: number;
  readonly everyPx: number;
  readonly noise: number;
}

/**
 * Every place along one line of tones where the step's own tone ends, outermost last: by any change at all, and by half
 * of the greatest, which a number printed near an edge does not hide.
 */
function endsOf(line: ToneLine, index: number, { innerPx, everyPx, noise }: ToneReading): ToneEnd[] {
  const { tone, scatter, values } = line;
  const least = Math.max(leastChange, overScatter * scatter, 3 * noise);
  const greatest = values.reduce((most, value) => Math.max(most, Math.abs(value - tone)), 0);
  const places = endsBeyond(line, { threshold: least, leastRunPx, everyPx });
  if (greatest > 3 * least) {
    const half = endsBeyond(line, { threshold: greatest / 2, leastRunPx: leastHalfRunPx, everyPx });
    places.push(...half.filter((at) => places.every((other) => Math.abs(at - other) > 1)));
  }
  return places
    .sort((a, b) => a - b)
    .map((at) => {
      const beyond = values[Math.min(values.length - 1, Math.round(at) + samplesOf(beyondPx, everyPx))]!;
      return { line: index, outPx: at * everyPx - innerPx, contrast: Math.abs(beyond - tone) };
    });
}

/** Places [samples] where a line of tones, after being the tone for a run, differs by more than a threshold. */
function endsBeyond(
  { tone, values }: ToneLine,
  {
    threshold,
    leastRunPx: shortest,
    everyPx,
  }: { readonly threshold: number; readonly leastRunPx: number; readonly everyPx: number },
): number[] {
  const [leastRun, lasting] = [samplesOf(shortest, everyPx), samplesOf(lastingPx, everyPx)];
  const [before, after] = [samplesOf(edgeBeforePx, everyPx), samplesOf(edgeAfterPx, everyPx)];
  const differs = (i: number): boolean => Math.abs(values[i]! - tone) > threshold;
  const places: number[] = [];
  let run = 0;
  for (let i = 0; i + lasting <= values.length; i++) {
    if (!differs(i)) {
      run++;
      continue;
    }
    let lasts = 1;
    while (lasts < lasting && differs(i + lasts)) lasts++;
    if (lasts < lasting) continue;
    if (run >= leastRun) places.push(steepest(values, i - before, i + after));
    run = 0;
    while (i + 1 < values.length && differs(i + 1)) i++;
  }
  return places;
}

/**
 * Where the light changes most between two samples, to a part of one: softness moves an edge of logarithms towards the
 * dark, but not one of light.
 */
function steepest(values: Float64Array, from: number, to: number): number {
  const reach = 2;
  const light = (i: number): number => 10 ** -values[Math.min(values.length - 1, Math.max(0, i))]!;
  const change = (i: number): number => Math.abs(light(i + reach) - light(i - reach));
  const [first, last] = [Math.max(reach, from), Math.min(values.length - 1 - reach, to)];
  let [best, most] = [first, change(first)];
  for (let i = first + 1; i <= last; i++) {
    const here = change(i);
    if (here > most) [best, most] = [i, here];
  }
  // The middle of all that changes more than half as much: over a hard edge several places change alike.
  let [sum, moment] = [0, 0];
  for (const way of [-1, 1]) {
    for (let i = way < 0 ? best : best + 1; i >= reach && i < values.length - reach; i += way) {
      const above = change(i) - most / 2;
      if (!(above > 0)) break;
      sum += above;
      moment += above * i;
    }
  }
  return sum > 0 ? moment / sum : best;
}

/**
 * The straight line at which most tones end.
 * @param mostTurnPx how far either end of the line may turn from the supposed edge
 * @param windowPx how near the line an end lies that counts for it
 * @returns null when no tone ends
 */
export function straightEnd(
  lines: readonly ToneLine[],
  reading: ToneReading,
  { mostTurnPx, windowPx }: { readonly mostTurnPx: number; readonly windowPx: number },
): StraightEnd | null {
  const { innerPx } = reading;
  const all = lines.map((line, i) => endsOf(line, i, reading)).filter((ends) => ends.length > 0);
  if (all.length === 0) return null;
  const flat = all.flat();
  const furthest = Math.max(...flat.map(({ outPx }) => outPx));
  const atLine = (end: ToneEnd, at: number, turn: number): number =>
    end.outPx - at - turn * (2 * lines[end.line]!.along - 1);
  // One line that ends in several places counts once, by the place nearest to the line tried.
  const innermost = -innerPx;
  const tried = Math.floor((furthest - innermost) / lineEveryPx) + 1;
  const scores = new Float64Array(tried);
  // Lines whose last end lies before each place, and not before the one before it.
  const endedBefore = new Uint16Array(tried);
  let best = { score: 0, at: 0, turn: 0 };
  for (let slope = -slopes; slope <= slopes; slope++) {
    const turn = (slope / slopes) * mostTurnPx;
    scores.fill(0);
    endedBefore.fill(0);
    for (const ends of all) {
      let last = -Infinity;
      for (const end of ends) {
        const place = atLine(end, innermost, turn);
        addScores(scores, place, windowPx);
        last = Math.max(last, place);
      }
      const from = Math.max(0, Math.ceil((last + windowPx) / lineEveryPx));
      if (from < tried) endedBefore[from]!++;
    }
    let before = 0;
    for (let i = 0; i < tried; i++) {
      before += endedBefore[i]!;
      const score = scores[i]! - costOfBefore * before;
      if (score > best.score) best = { score, at: innermost + i * lineEveryPx, turn };
    }
  }
  if (best.score <= 0) return null;
  const onLine = flat.filter((end) => Math.abs(atLine(end, best.at, best.turn)) <= windowPx);
  return { ends: onLine, share: new Set(onLine.map(({ line }) => line)).size / all.length };
}

/** What one end of a line of tones says for an edge at each place tried. @param end from the first place [px] */
function addScores(scores: Float64Array, end: number, windowPx: number): void {
  const to = Math.min(scores.length - 1, Math.floor((end + windowPx) / lineEveryPx));
  for (let i = Math.max(0, Math.ceil((end - windowPx) / lineEveryPx)); i <= to; i++)
    scores[i]! += 1 - 0.5 * ((i * lineEveryPx - end) / windowPx) ** 2;
}

/** The middle tone of a few values, and how they scatter about it. */
export function toneOf(values: readonly number[]): { tone: number; scatter: number } {
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  const tone = (sorted[half]! + sorted[sorted.length - 1 - half]!) / 2;
  return { tone, scatter: robustSigma(values, tone) };
}
