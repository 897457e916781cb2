// View objects of kept curves, and what the form of one stands for.
import { targetText } from "#shared/correction/target-text.ts";
import { formatDay } from "#shared/format/instant.ts";
import { formatFixed, formatLightness, writtenFixed } from "#shared/format/number.ts";
import { plotAxis, type PlotSpec } from "#shared/format/plot.ts";
import type { KeepCurve, KeptCurve } from "#shared/schema/kept-curve.ts";
import { scaleOfTarget } from "#shared/words/negatives/made-words.ts";
import type { DrawnCurve } from "#src/studio/negatives/keep-curve.ts";
import type { Tools } from "#src/studio/tools.ts";
import { recordChoices } from "#src/web/parts/field-view.ts";
import { errorSummary } from "#src/web/parts/form-errors.ts";
import { numberOf, textOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { toneTests } from "#src/web/negatives/view.ts";
import { testTitle } from "#src/web/tests/title.ts";

/** Points that the form has room for. */
const moveRows = [1, 2, 3, 4, 5] as const;
const usualLevels: readonly number[] = [32, 80, 128, 176, 224];
const greyTicks = { min: 0, max: 255, ticks: [0, 64, 128, 192, 255].map((at) => ({ at, label: String(at) })) };

const stateWords = { plain: "", toned: "toned", bleached: "bleached" } as const;

/** What the fields stand for, to be checked. */
export function curveInput(values: FormValues): Record<string, unknown> {
  const blendTestId = textOf(values, "blendTestId");
  return {
    testId: textOf(values, "testId"),
    target: textOf(values, "target") || undefined,
    name: textOf(values, "name"),
    notes: textOf(values, "notes"),
    state: textOf(values, "state") || undefined,
    blend: blendTestId === "" ? null : { testId: blendTestId, share: (numberOf(values, "blendPercent") ?? 50) / 100 },
    moves: moveRows.flatMap((row) => {
      const byLevels = numberOf(values, `by${row}`) ?? 0;
      return byLevels === 0 ? [] : [{ level: numberOf(values, `level${row}`) ?? usualLevels[row - 1], byLevels }];
    }),
  };
}

/** The query that opens the page with a kept curve's own fields. */
function queryOf(curve: KeptCurve): string {
  const { target } = curve;
  const query = new URLSearchParams({
    testId: curve.testId,
    target: targetText(target),
    name: curve.name,
    state: curve.state,
    ...(curve.blend ? { blendTestId: curve.blend.testId, blendPercent: String(100 * curve.blend.share) } : {}),
  });
  curve.moves.slice(0, moveRows.length).forEach(({ level, byLevels }, index) => {
    query.append(`level${index + 1}`, String(level));
    query.append(`by${index + 1}`, String(byLevels));
  });
  return query.toString();
}

function nameOf(store: Tools["store"], testId: string): string {
  const test = store.tests.find(testId);
  return test === undefined ? "a test that is no longer here" : testTitle(store, test);
}

const namedToneTests = (store: Tools["store"]) =>
  toneTests(store).map(({ id, title, day }) => ({ id, name: `${title}, ${day}` }));

function movedWords(count: number): string {
  if (count === 0) return "";
  return count === 1 ? "one point moved by hand" : `${count} points moved by hand`;
}

export function curvesView(store: Tools["store"]) {
  return {
    curves: [...store.keptCurves.list()]
      .sort((a, b) => b.createdAt.localeCompare(a.createdAt))
      .map((curve) => ({
        id: curve.id,
        name: curve.name,
        about: [
          `kept ${formatDay(curve.createdAt)}`,
          `from ${curve.printIds.map((id) => nameOf(store, id)).join(", ")}`,
          scaleOfTarget(curve.target),
          stateWords[curve.state] === "" ? "" : `for the ${stateWords[curve.state]} print`,
          curve.blend ? `blended ${formatFixed(100 * curve.blend.share, 0)} %` : "",
          movedWords(curve.moves.length),
        ].filter((part) => part !== ""),
        notes: curve.notes,
        isUsable: store.tests.find(curve.testId) !== undefined,
        negativeHref: `/negatives/new?testId=${curve.testId}&curveId=${curve.id}`,
        againHref: `/curves/new?${queryOf(curve)}`,
        sheetHref: typeof curve.target === "string" ? `/sheets?curveId=${curve.id}` : null,
      })),
    tests: namedToneTests(store),
  };
}

/** A value for each grey level, as points. */
const line = (values: readonly number[]) => values.map((y, x) => ({ x, y }));

function curvePlot(own: readonly number[], levels: readonly number[]): PlotSpec {
  return {
    title: "The curve",
    summary: "For each grey level of the picture the level to send, as the test gives it and as it would be kept.",
    x: { ...greyTicks, label: "grey level in the picture" },
    y: { ...greyTicks, label: "grey level to send" },
    series: [
      { name: "to be kept", kind: "line", look: 1, points: line(levels) },
      { name: "of the test", kind: "line", look: 3, points: line(own) },
    ],
  };
}

function printPlot(wanted: readonly number[], lightness: readonly number[]): PlotSpec {
  return {
    title: "The print to expect",
    summary: "Lightness of the print at each grey level of the picture, by the measured scale of the test.",
    x: { ...greyTicks, label: "grey level in the picture" },
    y: plotAxis("lightness L*", [...wanted, ...lightness], { count: 6 }),
    series: [
      { name: "through this curve", kind: "line", look: 1, points: line(lightness) },
      { name: "through the test's own", kind: "line", look: 3, points: line(wanted) },
    ],
  };
}

export function curvePageView(
  store: Tools["store"],
  {
    values,
    errors,
    asked,
    drawn,
  }: {
    readonly values: FormValues;
    readonly errors: FieldErrors;
    readonly asked: KeepCurve;
    readonly drawn: DrawnCurve;
  },
) {
  const { correction } = drawn.made;
  const differences = drawn.lightness.map((value, level) =>
    Math.abs(value - (correction.wantedLightness[level] ?? value)),
  );
  return {
    values: {
      target: "lightness",
      state: "plain",
      blendPercent: "50",
      ...Object.fromEntries(moveRows.map((row) => [`level${row}`, String(usualLevels[row - 1])])),
      ...values,
      testId: asked.testId,
    },
    errors,
    summary: errorSummary(errors),
    testName: nameOf(store, asked.testId),
    testId: asked.testId,
    prints: drawn.printIds.map((id) => nameOf(store, id)).join(", "),
    plots: [curvePlot(correction.levels, drawn.levels), printPlot(correction.wantedLightness, drawn.lightness)],
    largest: formatLightness(Math.max(...differences)),
    rows: moveRows.map((row) => {
      const level = numberOf(values, `level${row}`) ?? usualLevels[row - 1] ?? 0;
      const lightness = drawn.lightness[Math.min(255, Math.max(0, Math.round(level)))] ?? 0;
      return { row, lightness: Number.isFinite(lightness) ? writtenFixed(lightness, 1) : "" };
    }),
    others: recordChoices(
      "none",
      namedToneTests(store).filter(({ id }) => id !== asked.testId),
    ),
  };
}
