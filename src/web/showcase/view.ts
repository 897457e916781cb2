// What the page of parts shows: components in their states, filled with made-up figures.
import { plotAxis, type PlotPoint, type PlotSpec } from "#shared/format/plot.ts";
import { nextTestAnswer, timeAnswer, withoutTime, type AnswerView } from "#src/web/parts/answer-view.ts";
import type { FieldView } from "#src/web/parts/field-view.ts";
import type { CurveSample } from "#shared/schema/curve.ts";
import { errorSummary } from "#src/web/parts/form-errors.ts";
import type { MaterialField } from "#src/web/parts/material-fields.ts";
import { stateTones, stateWords, type BoardState } from "#src/web/home/board.ts";
import { sparkCurve, sparkHeight, sparkWidth } from "#src/web/home/spark-curve.ts";
import type { StepView } from "#src/web/prints/view.ts";
import type { TestCard } from "#src/web/tests/card.ts";
import { instruments, type Instruments } from "./instruments.ts";

/** Conditions that stand below a time. */
const lines = ["For 90 % of the deepest blue, through a clear film (density 0.08). Made up, as everything here."];
const wholeRange = { lowerSeconds: 772, upperSeconds: 961 };

const answers: readonly { readonly name: string; readonly answer: AnswerView }[] = [
  {
    name: "Good, with the next print's range",
    answer: timeAnswer({
      state: "good",
      seconds: 862,
      range: { lowerSeconds: 820, upperSeconds: 903 },
      nextPrint: wholeRange,
      lines,
    }),
  },
  { name: "Good, of hours", answer: timeAnswer({ state: "good", seconds: 8040, range: wholeRange, lines }) },
  { name: "Not sure", answer: timeAnswer({ state: "doubtful", seconds: 862, range: wholeRange, lines }) },
  {
    name: "Predicted",
    answer: timeAnswer({ state: "predicted", seconds: 377, range: { lowerSeconds: 194, upperSeconds: 750 }, lines }),
  },
  { name: "Time of a test", answer: nextTestAnswer(2160, ["The exposure you want is more than 16:08."]) },
  { name: "Tests disagree", answer: { ...withoutTime("Tests disagree: retest", lines), badge: "No time" } },
  { name: "No time", answer: withoutTime("No time from this test", []) },
];

/** A made-up curve, moved along log H. */
function curveThrough(shift: number): (Required<Pick<PlotPoint, "x" | "y" | "lower" | "upper">> & CurveSample)[] {
  return Array.from({ length: 41 }, (_, i) => {
    const x = i / 10;
    const y = 1.4 / (1 + Math.exp(-4 * (x - 2 - shift)));
    return { x, y, lower: y - 0.05, upper: y + 0.05, logH: x, density: y };
  });
}

function plotOf(overlaid: boolean): PlotSpec {
  const steps = curveThrough(0).filter((_, i) => i % 4 === 0);
  const axes = { x: plotAxis("log H", [0, 4], { count: 5 }), y: plotAxis("red density above paper", [0, 1.5]) };
  if (overlaid)
    return {
      title: "Six looks over each other",
      summary: "Six made-up curves, each with its own colour, dash and marker.",
      overlaid: true,
      ...axes,
      series: [0, 1, 2, 3, 4, 5].map((i) => ({
        name: `curve ${i + 1}`,
        kind: "line",
        look: i + 1,
        points: curveThrough(i / 4 - 0.6),
      })),
    };
  return {
    title: "One curve",
    summary: "A made-up curve with its band, its steps, a marked point and a line across.",
    ...axes,
    series: [
      { name: "95 % band", kind: "band", look: 1, points: curveThrough(0) },
      { name: "curve", kind: "line", look: 1, points: curveThrough(0) },
      {
        name: "steps",
        kind: "points",
        look: 1,
        points: steps.map((step, i) => ({ ...step, label: `Step ${i + 1}`, leftOut: i === 3 })),
      },
      { name: "shoulder", kind: "marks", look: 2, points: [{ x: 2.55, y: 1.26, label: "shoulder" }] },
    ],
    lines: [{ x: 2.9, label: "advised" }],
  };
}

function materialField(id: string, changes: Partial<MaterialField>): MaterialField {
  return {
    id,
    name: id,
    newName: `${id}New`,
    label: "Light",
    hint: "The UV box, or the sun.",
    addLabel: "Add another light",
    options: [],
    selected: "",
    newValue: "",
    optional: "",
    error: "",
    extra: null,
    ...changes,
  };
}

const cardBase: TestCard = {
  id: "none",
  title: "A test with a name that is rather long, as they are in workshops",
  materials: "Box one · Smooth cotton paper · Two-part blue",
  day: "26 November 2026",
  invented: true,
  pictureId: "",
  time: "14:22",
  range: "12:52 to 16:01",
  verdict: { tone: "ok", word: "Good test", text: "" },
  isToneCurve: false,
  isLeftOut: false,
};

/** A field for each kind of control, in a form that has `errors` for half of them. */
function fields(): FieldView[] {
  const field = (name: string, label: string, kind: FieldView["kind"], more: Partial<FieldView> = {}): FieldView => ({
    name,
    id: name,
    label,
    kind,
    ...more,
  });
  const options = [
    { value: "a", label: "the first choice" },
    { value: "b", label: "another, with more words in it" },
  ];
  return [
    field("distance", "A number with a unit", "number", { unit: "mm", hint: "With a hint." }),
    field("wrongDistance", "A number that is wrong", "number", { unit: "mm" }),
    field("words", "A line of text", "text"),
    field("wrongWords", "A line of text that is wrong", "text"),
    field("list", "A list", "select", { options }),
    field("wrongList", "A list that is wrong", "select", { options }),
    field("day", "A day", "date"),
    field("notes", "Several lines", "textarea"),
  ];
}

/** The clock of a step, as far as views/prints/_timer.ejs shows it. */
type ShownClock = Pick<StepView, "state" | "isOver" | "seconds" | "left" | "leftSpoken" | "startedMs">;

const clock: ShownClock = {
  state: "running",
  isOver: false,
  seconds: 862,
  left: "9:41",
  leftSpoken: "9 minutes 41 seconds",
  startedMs: null,
};

const timers: readonly { readonly name: string; readonly clock: ShownClock | null }[] = [
  { name: "Not begun", clock: null },
  { name: "Running", clock },
  { name: "Paused", clock: { ...clock, state: "paused" } },
  { name: "Its time has passed", clock: { ...clock, isOver: true, left: "0:37", leftSpoken: "37 seconds" } },
  { name: "Until it is done", clock: { ...clock, seconds: null, left: "3:05", leftSpoken: "3 minutes 5 seconds" } },
];

/** Answers of a pane of colours. */
const paneAnswers = {
  good: timeAnswer({ state: "good", seconds: 862, range: wholeRange, lines: [] }),
  doubtful: timeAnswer({ state: "doubtful", seconds: 862, range: wholeRange, lines: [] }),
  predicted: timeAnswer({
    state: "predicted",
    seconds: 377,
    range: { lowerSeconds: 194, upperSeconds: 750 },
    lines: [],
  }),
};

export interface ShowcaseView {
  readonly timers: typeof timers;
  readonly paneAnswers: typeof paneAnswers;
  readonly answers: typeof answers;
  readonly fields: readonly FieldView[];
  readonly materialFields: readonly MaterialField[];
  readonly errors: Readonly<Record<string, string>>;
  readonly values: Readonly<Record<string, string>>;
  readonly summary: ReturnType<typeof errorSummary>;
  readonly testCards: readonly TestCard[];
  readonly boardCards: readonly { readonly state: string; readonly word: string; readonly tone: string }[];
  readonly spark: { readonly path: string | null; readonly width: number; readonly height: number };
  readonly plots: readonly PlotSpec[];
  readonly instruments: Instruments;
}

export function showcaseView(): ShowcaseView {
  const errors = {
    wrongDistance: "Write a distance between 1 and 10000 mm.",
    wrongWords: "Write at most 120 letters.",
    wrongList: "Choose one of these.",
  };
  const options = [{ id: "one", name: "Box one, eight tubes", kind: "tubes" }];
  return {
    answers,
    timers,
    paneAnswers,
    fields: fields(),
    materialFields: [
      materialField("fresh", {}),
      materialField("known", { options, selected: "one" }),
      materialField("wrong", { options, error: "Choose the light, or add it." }),
    ],
    errors,
    values: { distance: "120", wrongDistance: "-4", words: "Rag paper", wrongWords: "x", day: "2026-11-26" },
    summary: errorSummary(errors, ["wrongDistance", "wrongWords", "wrongList"]),
    testCards: [
      cardBase,
      { ...cardBase, time: null, range: null, verdict: { tone: "stop", word: "Too short", text: "" } },
      {
        ...cardBase,
        time: null,
        range: null,
        isToneCurve: true,
        verdict: { tone: "caution", word: "Good if in place", text: "" },
      },
    ],
    boardCards: Object.entries(stateWords).map(([state, word]) => ({
      state,
      word,
      tone: stateTones[state as BoardState],
    })),
    spark: { path: sparkCurve(curveThrough(0)), width: sparkWidth, height: sparkHeight },
    plots: [plotOf(false), plotOf(true)],
    instruments: instruments(),
  };
}
