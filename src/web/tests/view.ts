// The result page's view object: a saved test in the words and figures that a printmaker reads.
import type { AnswerView } from "#src/web/parts/answer-view.ts";
import { aboutTime } from "#shared/format/about-time.ts";
import { formatDuration } from "#shared/format/duration.ts";
import { formatDay } from "#shared/format/instant.ts";
import { formatFixed, formatShare } from "#shared/format/number.ts";
import { withOwnDecimals } from "#shared/format/writing.ts";
import type { DepthRow } from "#shared/schema/curve.ts";
import type { Warning } from "#shared/schema/reading.ts";
import { answerOf, carriesTones } from "./large-answer.ts";
import { testHeading } from "./title.ts";
import { printHrefOf, sunHrefOf, wayToCompare, type WayToCompare } from "./ways.ts";
import { lightHazard } from "#shared/prints/step-hazard.ts";
import type { SavedTest } from "#shared/schema/test.ts";
import { rangeRemedyWords, rangeSourceWords } from "#shared/words/tests/range-words.ts";
import { tabletOfOtherCount } from "#shared/tablet/usual-tablet.ts";
import type { StoreReader } from "#src/store/store.ts";
import type { TestStanding } from "#src/studio/tests/standing-among-tests.ts";
import { conditionsOf } from "./conditions.ts";
import type { PlotSpec } from "#shared/format/plot.ts";
import { curveAsTold, curvePlot } from "./curve-plot.ts";
import { readWith } from "./other-strips.ts";
import { curveFigure, type CurveFigure } from "./curve-figure.ts";
import { figuresOf, type Figure } from "./curve-figures.ts";
import { flagLine, markedPicture, stepTable, type MarkedPicture, type StepTable } from "./step-table.ts";
import { takenByView, type TakenByView } from "./anew/taken-by.ts";
import { standingView, type StandingView } from "./standing/standing-view.ts";
import { stripCutout, type StripCutout } from "./strip-cutout.ts";
import { resultFolds, type ResultFolds } from "./summaries/result-folds.ts";
import { materialsText } from "#src/web/parts/materials-text.ts";
import { timeWords, type TimeWords } from "#src/web/parts/time-words.ts";
import {
  goodForTime,
  goodForTones,
  goodIfInPlace,
  isMinorWarning,
  placeWarnings,
  verdictWords,
  type VerdictWords,
} from "#shared/words/tests/verdict-words.ts";

/** A row of the table of depths. */
interface DepthLine {
  /** A share of the deepest blue, not the depth from which the eye sees no more. */
  readonly isShare: boolean;
  readonly depth: string;
  readonly time: string;
  readonly range: string;
  readonly missing: string;
}

/** One source of doubt, with its part of a bar, 100 wide, that the squares of all of them fill. */
interface BudgetPart {
  readonly source: string;
  readonly stops: string;
  readonly remedy: string;
  readonly percent: string;
  readonly bar: { readonly x: number; readonly width: number; readonly opacity: number };
}

export interface ResultView {
  /** What the folded parts say while they are closed. */
  readonly folds: ResultFolds;
  readonly depths: readonly DepthLine[];
  readonly budget: readonly BudgetPart[];
  readonly id: string;
  readonly heading: string;
  readonly invented: boolean;
  readonly materials: string;
  readonly madeOn: string;
  /** What can hurt in the light that it was made in. */
  readonly hazard: "uv-light" | "sun";
  readonly answer: AnswerView;
  readonly verdict: VerdictWords;
  readonly next: TimeWords | null;
  /** Where the next test is read; null where none is asked for. */
  readonly nextTestHref: string | null;
  readonly reasons: readonly string[];
  readonly warnings: readonly Warning[];
  /** Minor ones, shown last. */
  readonly remarks: readonly Warning[];
  /** The curve alone, as the report prints it. */
  readonly plot: PlotSpec | null;
  /** The curve over its strip. */
  readonly curve: CurveFigure | null;
  readonly figures: readonly Figure[];
  readonly stepTable: StepTable;
  /** The flagged steps in words, for where the strip lies a screen away; null without any. */
  readonly flagLine: string | null;
  readonly conditions: readonly { readonly term: string; readonly value: string }[];
  readonly picture: MarkedPicture;
  /** The strip by itself, level and large; null for a sheet. */
  readonly strip: StripCutout | null;
  /** The same where its place is doubted: to be looked at before the time is believed. */
  readonly doubtedStrip: StripCutout | null;
  /** A strip of levels or a wedge sheet carries a tone curve. */
  readonly hasCorrection: boolean;
  /** Another usual count of steps that the picture looks like, to read it anew by; null where there is none. */
  readonly otherCount: { readonly looksLike: number; readonly declared: number } | null;
  /** Who took the picture, where the user may know better; null where it is settled. */
  readonly takenBy: TakenByView | null;
  /** How straight the print of a check sheet came out; null for any other test. */
  readonly checkHref: string | null;
  /** A second test of the same combination would make the range smaller. */
  readonly lookupHref: string;
  /** The test of the strip that lay head to tail with this one; null where there is none. */
  readonly readWith: { readonly href: string; readonly words: string } | null;
  /**
   * A run sheet filled with this test's materials and time; null where there is none to print by, or the sun decides.
   */
  readonly printHref: string | null;
  /** How it stands among the other tests of its combination. */
  readonly standing: StandingView;
  /** The day planner scaled by this test; null when it was not printed in the sun. */
  readonly sunHref: string | null;
  readonly compare: WayToCompare | null;
}

/** @param among how the test stands among the others of its combination */
export function resultView(store: StoreReader, test: SavedTest, among: TestStanding): ResultView {
  const { request, exposure } = test;
  const curve = test.curve === null ? null : curveAsTold(test.curve, exposure);
  const answer = answerOf(store, test);
  const hasCorrection = carriesTones(test);
  const strip = stripCutout(test.pictureId, test.reading);
  const warnings = test.warnings.map(({ code, message }) => ({ code, message: withOwnDecimals(message) }));
  const query = combinationQuery(request);
  const lookupHref = `/exposures?${query.toString()}`;
  const standing = standingView(among, test, lookupHref);
  const folded = {
    stepTable: stepTable(test.reading, request.tablet.kind),
    depths: (exposure.depths ?? []).map((row) => depthRow(row, answer.state === "good")),
    budget: budgetParts(exposure.budget ?? []),
    reasons: exposure.reasons.map(withOwnDecimals),
    figures: curve === null ? [] : figuresOf(curve),
    conditions: conditionsOf(test),
  };
  return {
    ...folded,
    folds: resultFolds(folded),
    id: test.id,
    heading: testHeading(store, test),
    invented: test.invented,
    materials: materialsText(store, request),
    madeOn: formatDay(request.madeAt ?? test.createdAt),
    hazard: lightHazard(store.lamps.find(request.lampId)?.kind ?? "other"),
    answer,
    verdict: verdictOf(test, hasCorrection),
    next: exposure.nextTestSeconds === null ? null : timeWords(exposure.nextTestSeconds),
    warnings: warnings.filter(({ code }) => !isMinorWarning(code)),
    remarks: warnings.filter(({ code }) => isMinorWarning(code)),
    plot: curve === null || curve.samples.length === 0 ? null : curvePlot(curve),
    curve: curveFigure(curve, exposure, test.reading, strip),
    flagLine: flagLine(folded.stepTable.rows),
    picture: markedPicture(test.pictureId, test.reading),
    strip,
    doubtedStrip: doubtedStripOf(test, strip),
    hasCorrection,
    otherCount: otherCountOf(test),
    takenBy: takenByView(test),
    checkHref: (test.reading.sheet?.correctionMark ?? null) === null ? null : `/tests/${test.id}/sheet-check`,
    readWith: readWith(store, test),
    nextTestHref: nextTestHrefOf(exposure, query),
    lookupHref,
    standing,
    printHref: printHrefOf(test, standing),
    sunHref: sunHrefOf(test),
    compare: wayToCompare(store, test),
  };
}

function combinationQuery({ lampId, supportId, coatingId, filmId }: SavedTest["request"]): URLSearchParams {
  return new URLSearchParams({ lampId, supportId, coatingId, ...(filmId == null ? {} : { filmId }) });
}

function nextTestHrefOf({ nextTestSeconds }: SavedTest["exposure"], combination: URLSearchParams): string | null {
  return nextTestSeconds === null ? null : `/tests/new?${combination.toString()}`;
}

/** Between two parts of the bar. */
const barGap = 0.4;
/** Each part of the bar is so much paler than the one before. */
const paler = 0.72;

/** The squares of the parts add up, so that they fill a bar by their squares. */
function budgetParts(budget: NonNullable<SavedTest["exposure"]["budget"]>): BudgetPart[] {
  const squares = budget.map(({ stops }) => stops * stops);
  const whole = squares.reduce((sum, square) => sum + square, 0);
  return budget.map(({ source, stops }, i) => {
    const share = squares[i]! / whole;
    const before = squares.slice(0, i).reduce((sum, square) => sum + square, 0) / whole;
    return {
      source: rangeSourceWords(source),
      stops: formatFixed(stops, 2),
      remedy: rangeRemedyWords(source),
      percent: formatShare(share),
      bar: {
        x: toHundredth(100 * before),
        width: toHundredth(Math.max(0, 100 * share - barGap)),
        opacity: toHundredth(0.9 * paler ** i),
      },
    };
  });
}

const toHundredth = (value: number): number => Math.round(value * 100) / 100;

/** Both counts, where the picture looks like a usual tablet of another than was said. */
function otherCountOf({ reading, request: { tablet } }: SavedTest): ResultView["otherCount"] {
  const looksLike = reading.location.looksLikeSteps;
  if (looksLike === undefined || tabletOfOtherCount(tablet, looksLike) === null) return null;
  return { looksLike, declared: reading.steps.length };
}

const isPlaceDoubted = ({ warnings }: Pick<SavedTest, "warnings">): boolean =>
  warnings.some(({ code }) => placeWarnings.has(code));

const doubtedStripOf = (test: SavedTest, strip: StripCutout | null): StripCutout | null =>
  isPlaceDoubted(test) ? strip : null;

/** What is said of the test in a word and a sentence. */
function verdictOf(test: SavedTest, hasCorrection: boolean): VerdictWords {
  const { exposure, warnings } = test;
  if (exposure.verdict !== "ok") return verdictWords[exposure.verdict];
  if (isPlaceDoubted(test)) return goodIfInPlace;
  if (hasCorrection && exposure.seconds === null) return goodForTones;
  return warnings.some(({ code }) => code === "toe-not-reached") ? goodForTime : verdictWords.ok;
}

/** One depth of blue, as the table beside the answer has it; times of a doubtful test no finer than their ranges. */
function depthRow(row: DepthRow, isSure: boolean): DepthLine {
  const { lowerSeconds, upperSeconds } = row;
  const range = lowerSeconds === null || upperSeconds === null ? null : { lowerSeconds, upperSeconds };
  const timeOf = (seconds: number): string =>
    isSure || range === null ? formatDuration(seconds) : `about ${aboutTime(seconds, range)}`;
  return {
    isShare: row.kind === "share",
    depth: row.kind === "share" ? formatShare(row.share) : "the eye sees no deeper blue",
    time: row.seconds === null ? "not in this strip" : timeOf(row.seconds),
    range: range === null ? "–" : `${formatDuration(range.lowerSeconds)} to ${formatDuration(range.upperSeconds)}`,
    missing: formatFixed(row.lightnessMissing, 1),
  };
}
