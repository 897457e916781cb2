// One description of a plot: drawn as inline SVG by the server, read by the browser, written as a table.
import { formatFixed } from "./number.ts";

export interface PlotTick {
  readonly at: number;
  readonly label: string;
}

export interface PlotAxis {
  /** What the axis shows, with its unit: "density above paper", "log H (log10 of seconds)". */
  readonly label: string;
  readonly min: number;
  readonly max: number;
  readonly ticks: readonly PlotTick[];
  /**
   * What a place on it is told as where that is no plain number: log H with the time of exposure, the time alone (both
   * log10 of seconds), or a day since 1970.
   */
  readonly readAs?: "log-seconds" | "times" | "days";
}

export interface PlotPoint {
  readonly x: number;
  readonly y: number;
  /** Ends of the error bar or of the band at this x, in units of y. */
  readonly lower?: number;
  readonly upper?: number;
  /** Said in the tooltip and in the SVG title: "step 7, 0.95 in the tablet". */
  readonly label?: string;
  /** Drawn hollow: left out of the fit. */
  readonly leftOut?: boolean;
}

export interface PlotSeries {
  readonly name: string;
  /**
   * `line` joins the points; `band` fills between lower and upper; `points` draws markers with error bars; `marks`
   * draws large labelled points with a line down to the axis.
   */
  readonly kind: "line" | "band" | "points" | "marks";
  readonly points: readonly PlotPoint[];
  /** Which of the six series looks (colour, dash and marker together) to use; from 1. */
  readonly look?: number;
  /** Left out of the key under the plot, when another series of the same look already stands there. */
  readonly unkeyed?: boolean;
}

export interface PlotSpec {
  /** Short name, shown above the plot. */
  readonly title: string;
  /** One or two sentences that say what the plot shows, for those who cannot see it. */
  readonly summary: string;
  readonly x: PlotAxis;
  readonly y: PlotAxis;
  /** The same places as on x in another measure, over the plot; `min` and `max` are those of x. */
  readonly above?: Pick<PlotAxis, "label" | "ticks">;
  readonly series: readonly PlotSeries[];
  /** Several named curves: the key shows line and marker together. */
  readonly overlaid?: boolean;
  /** A straight line across the plot at one x, such as "now" or the recommended time. */
  readonly lines?: readonly { readonly x: number; readonly label: string }[];
}

/**
 * Spread of values, relative to their size, below which they count as one value and the axis shows one unit round it.
 */
const smallestSpread = 1e-9;

/** Count of decimals that a tick step needs. */
function decimalsOf(step: number): number {
  return Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
}

/**
 * An axis with round ticks (steps of 1, 2 or 5 times a power of ten) that holds all values.
 * @param values numbers to hold; at least one
 * @param options.count roughly how many ticks
 * @param options.from fixed lower end, for axes that start at zero
 * @throws RangeError when there is no finite value
 */
export function plotAxis(
  label: string,
  values: readonly number[],
  options: { readonly count?: number; readonly from?: number } = {},
): PlotAxis {
  const finite = values.filter((value) => Number.isFinite(value));
  if (finite.length === 0) throw new RangeError("An axis needs at least one finite value.");
  const low = options.from ?? finite.reduce((a, b) => Math.min(a, b));
  const top = finite.reduce((a, b) => Math.max(a, b));
  const high = top - low > smallestSpread * Math.max(1, Math.abs(low)) ? top : low + 1;
  const rough = (high - low) / (options.count ?? 6);
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = power * ([1, 2, 5, 10].find((factor) => factor * power >= rough - 1e-12) ?? 10);
  const first = options.from === undefined ? Math.floor(low / step + 1e-9) : Math.ceil(low / step - 1e-9);
  const last = Math.ceil(high / step - 1e-9);
  const decimals = decimalsOf(step);
  const ticks: PlotTick[] = [];
  for (let count = first; count <= last; count += 1) {
    const at = Number((count * step).toFixed(decimals + 2));
    ticks.push({ at, label: formatFixed(at, decimals) });
  }
  return { label, min: options.from ?? first * step, max: last * step, ticks };
}
