// The page of a strip that is washed or hung in light: its later readings, and what its steps lost.
import { formatDay } from "#shared/format/instant.ts";
import { formatDensity, formatFixed, formatShare } from "#shared/format/number.ts";
import { plotAxis, type PlotSeries, type PlotSpec } from "#shared/format/plot.ts";
import type { Fading, FadingAxis } from "#shared/schema/workshop/fading.ts";
import { errorSummary } from "#src/web/parts/form-errors.ts";
import type { FieldErrors, FormValues } from "#src/web/parts/form-values.ts";

const axisWords: Readonly<Record<FadingAxis, { readonly many: string; readonly axis: string }>> = {
  washes: { many: "washes", axis: "washes" },
  lightDays: { many: "days in light", axis: "days in light" },
};

/** Steps drawn: the deepest, and those nearest to these shares of its density. */
const drawnShares = [1, 0.7, 0.45, 0.25];

type Step = Fading["steps"][number];

/** Too pale to tell a loss: named together below the table. */
const isPale = ({ refusal }: Step): boolean => refusal?.code === "step-too-pale";

const startOf = (step: Step): number => step.points[0]?.density ?? 0;

/** The deepest step first, then paler ones. */
function drawnSteps(steps: readonly Step[]): Step[] {
  const deepest = Math.max(...steps.map(startOf));
  const nearest = drawnShares.flatMap((share) => {
    const [first] = [...steps].sort(
      (a, b) => Math.abs(startOf(a) - share * deepest) - Math.abs(startOf(b) - share * deepest),
    );
    return first === undefined ? [] : [first];
  });
  return [...new Set(nearest)];
}

function fadingPlot({ over, steps, channel }: Fading): PlotSpec {
  const drawn = drawnSteps(steps);
  const samples = drawn.flatMap(({ curve }) => curve?.samples ?? []);
  const points = drawn.flatMap((step) => step.points);
  const series = drawn.flatMap((step, index): PlotSeries[] => {
    const look = index + 1;
    const name = `step ${step.index}`;
    const curve = step.curve?.samples.map(({ at, density, lower, upper }) => ({ x: at, y: density, lower, upper }));
    return [
      ...(curve === undefined
        ? []
        : [
            { name: `${name}, 95 % range`, kind: "band", look, unkeyed: true, points: curve } as const,
            { name, kind: "line", look, points: curve } as const,
          ]),
      {
        name: `${name} as read`,
        kind: "points",
        look,
        unkeyed: curve !== undefined,
        points: step.points.map(({ at, density, sigma }) => ({
          x: at,
          y: density,
          lower: density - 2 * sigma,
          upper: density + 2 * sigma,
          label: `${name} after ${formatFixed(at, 0)}`,
        })),
      },
    ];
  });
  return {
    title: "What is left",
    summary: `Density of ${drawn.length} steps of the strip against ${axisWords[over].many}, with 95 % ranges.`,
    x: plotAxis(axisWords[over].axis, [...points.map(({ at }) => at), ...samples.map(({ at }) => at)], { from: 0 }),
    y: plotAxis(`density above paper, ${channel === "red" ? "red" : "visual"}`, [
      0,
      ...points.map(({ density, sigma }) => density + 2 * sigma),
      ...samples.map(({ upper }) => upper),
    ]),
    series,
  };
}

/** The largest line: what is left of the deepest step. */
function headlineOf({ over, after, steps }: Fading): { text: string; range: string } | null {
  const [deepest] = drawnSteps(steps);
  const left = deepest?.curve?.left;
  if (left === undefined) return null;
  return {
    text:
      `${formatShare(left.share.value)} of the deepest step is left after ${formatFixed(after, 0)} ` +
      axisWords[over].many,
    range: `${formatShare(left.share.lower)} to ${formatShare(left.share.upper)}, by 95 % ranges`,
  };
}

export function fadingView(
  fading: Fading,
  { values, errors }: { readonly values: FormValues; readonly errors: FieldErrors },
) {
  const { over, after, steps } = fading;
  return {
    id: fading.testId,
    over,
    overWords: axisWords[over].many,
    after: formatFixed(after, 0),
    headline: headlineOf(fading),
    plot: fading.readings.length > 1 ? fadingPlot(fading) : null,
    warnings: fading.warnings.map(({ message }) => message),
    readings: fading.readings.map((reading) => ({
      id: reading.id,
      day: formatDay(reading.madeOn),
      washes: formatFixed(reading.washes, 0),
      lightDays: formatFixed(reading.lightDays, 0),
      notes: reading.notes,
      pictureId: reading.pictureId,
      warnings: reading.warnings.map(({ message }) => message),
    })),
    pale: steps.filter(isPale).map(({ index }) => index),
    steps: steps
      .filter((step) => !isPale(step))
      .map((step) => ({
        index: step.index,
        start: formatDensity(startOf(step)),
        left: step.curve === null ? null : formatDensity(step.curve.left.density.value),
        share:
          step.curve === null
            ? (step.refusal?.message ?? "")
            : `${formatShare(step.curve.left.share.value)} (${formatShare(step.curve.left.share.lower)} to ` +
              `${formatShare(step.curve.left.share.upper)})`,
        half:
          step.curve?.half == null
            ? ""
            : `${formatFixed(step.curve.half.value, 0)} (${formatFixed(step.curve.half.lower, 0)} to ` +
              `${formatFixed(step.curve.half.upper, 0)})`,
      })),
    values: { over, ...values },
    errors,
    summary: errorSummary(errors, [
      ["photo", "fading-photo"],
      ["washes", "fading-washes"],
      ["lightDays", "fading-light"],
      ["madeOn", "fading-day"],
      ["notes", "fading-notes"],
    ]),
  };
}
