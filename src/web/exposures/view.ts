// The lookup page's view object: how long for this combination, and where the time comes from.
import { formatLength } from "#shared/format/length.ts";
import { formatDuration } from "#shared/format/duration.ts";
import { formatDensity, formatFixed, formatShare } from "#shared/format/number.ts";
import type { NextBestTests } from "#shared/lookup/next-best-tests.ts";
import { isDaylight } from "#shared/lamp/daylight.ts";
import { lightHazard } from "#shared/prints/step-hazard.ts";
import type { ExposureAnswer, ExposureSource } from "#shared/schema/exposures.ts";
import type { SavedTest } from "#shared/schema/test.ts";
import type { StoreReader } from "#src/store/store.ts";
import { materialsText } from "#src/web/parts/materials-text.ts";
import { timeAnswer, withoutTime, type AnswerView } from "#src/web/parts/answer-view.ts";
import { rangeUnknown, runSheetQuery } from "#src/web/prints/run-sheet-query.ts";
import { sunHrefOf } from "#src/web/tests/ways.ts";
import { sunOfTime } from "#src/web/tests/large-answer.ts";
import { cardsOf, type TestCard } from "#src/web/tests/card.ts";

interface SourceWords {
  readonly tone: "ok" | "note" | "caution" | "stop";
  readonly word: string;
  readonly text: string;
}

const sourceWords: Readonly<Record<ExposureSource, SourceWords>> = {
  tested: { tone: "ok", word: "Tested", text: "One test of just this combination." },
  pooled: {
    tone: "ok",
    word: "Tested more than once",
    text: "Several tests of just this combination, taken together.",
  },
  transferred: {
    tone: "note",
    word: "Carried over",
    text: "Tests of this combination, carried to another distance, film or lamp age.",
  },
  predicted: {
    tone: "caution",
    word: "Predicted, not tested",
    text: "Nobody tested this combination here; the time is drawn from others. Make a test before precious paper.",
  },
  unknown: { tone: "stop", word: "Not known", text: "There is too little to go by." },
};

const contradictory: SourceWords = {
  tone: "stop",
  word: "Tests disagree: retest",
  text: "The tests of this combination contradict each other; their mean is the time of none of them.",
};

export interface ExposureResultView {
  readonly materials: string;
  /** What can hurt in its light. */
  readonly hazard: "uv-light" | "sun";
  readonly answer: AnswerView;
  /** A run sheet filled with the time; null where there is none to print by, where nobody tested it, or in the sun. */
  readonly printHref: string | null;
  /** The day planner scaled by the test that a time under the sun is of; null for a lamp. */
  readonly sunHref: string | null;
  readonly source: SourceWords;
  readonly provenance: readonly string[];
  readonly warnings: readonly string[];
  readonly tests: readonly TestCard[];
  /** What the best next tests would leave of the range; null where nothing can be said. */
  readonly gains: GainsView | null;
}

interface GainsView {
  /** "± 0.52 stop" */
  readonly now: string;
  readonly rows: readonly { readonly test: string; readonly after: string; readonly href: string }[];
}

/** Tests that are proposed. */
const gainsShown = 3;

/** Half ranges in proportion to the one that stands above them, which is not even to both sides. */
function gainsView(
  store: StoreReader,
  { lampId, supportId, coatingId, lowerSeconds, upperSeconds }: ExposureAnswer,
  best: NextBestTests,
): GainsView {
  const shownHalf =
    lowerSeconds === null || upperSeconds === null ? best.halfStops : Math.log2(upperSeconds / lowerSeconds) / 2;
  const plusMinus = (stops: number): string => `± ${formatFixed((stops * shownHalf) / best.halfStops, 2)} stop`;
  return {
    now: plusMinus(best.halfStops),
    rows: best.gains.slice(0, gainsShown).map((gain) => {
      const isOwn = gain.supportId === supportId && gain.coatingId === coatingId;
      const names = [store.coatings.find(gain.coatingId)?.name, store.supports.find(gain.supportId)?.name];
      const query = new URLSearchParams({ lampId, supportId: gain.supportId, coatingId: gain.coatingId });
      return {
        test: isOwn ? "of this combination" : `of ${names.join(" on ")}, under this light`,
        after: plusMinus(gain.halfStops),
        href: `/tests/new?${query.toString()}`,
      };
    }),
  };
}

/** @param best the tests that would narrow the time most; null where that is not known */
export function exposureResultView(
  store: StoreReader,
  answer: ExposureAnswer,
  best: NextBestTests | null = null,
): ExposureResultView {
  const film = answer.filmId === null ? undefined : store.films.find(answer.filmId);
  const [newestId] = answer.testIds;
  const newest = newestId === undefined ? undefined : store.tests.find(newestId);
  const distance = answer.distanceMm === null ? "" : ` At ${formatLength(answer.distanceMm)} from the light.`;
  return {
    materials: materialsText(store, answer),
    hazard: lightHazard(store.lamps.find(answer.lampId)?.kind ?? "other"),
    answer: largeAnswer(answer, [
      ...sunLine(newest),
      `For ${formatShare(answer.targetShare)} of the deepest blue, ` +
        `${film === undefined ? "with no film over the coating" : `through ${film.name}`} (density ` +
        `${formatDensity(answer.filmDensity)}).${distance}`,
    ]),
    printHref: printHrefOf(store, answer),
    sunHref: newest === undefined ? null : sunHrefOf(newest),
    source: doContradict(answer) ? contradictory : sourceWords[answer.source],
    provenance: answer.provenance,
    warnings: answer.warnings.map(({ message }) => message),
    tests: cardsOf(store, answer.testIds),
    gains: best === null || answer.seconds === null ? null : gainsView(store, answer, best),
  };
}

function printHrefOf(store: StoreReader, answer: ExposureAnswer): string | null {
  const { lampId, seconds, nextPrint, source } = answer;
  if (seconds === null || source === "predicted" || isDaylight(store.lamps.find(lampId)?.kind)) return null;
  return `/prints/new?${runSheetQuery(answer, { ...(nextPrint ?? rangeUnknown), seconds })}`;
}

/** Tests that contradict each other make no time. */
function doContradict({ warnings }: ExposureAnswer): boolean {
  return warnings.some(({ code }) => code === "tests-disagree");
}

/** The sun of the test that a time under the sun is of: at another hour it is another. */
function sunLine(newest: SavedTest | undefined): string[] {
  const line = newest === undefined ? null : sunOfTime(newest);
  return line === null ? [] : [line];
}

function largeAnswer(answer: ExposureAnswer, conditions: readonly string[]): AnswerView {
  const { seconds, lowerSeconds, nextPrint, source } = answer;
  if (doContradict(answer)) return { ...withoutTime("Tests disagree: retest", conditions), badge: "No time" };
  if (seconds === null)
    return withoutTime(
      "No time can be given",
      lowerSeconds === null ? [] : [`It is longer than ${formatDuration(lowerSeconds)}.`, ...conditions],
    );
  return timeAnswer({
    state: source === "predicted" ? "predicted" : "good",
    seconds,
    range: answer,
    nextPrint,
    rangeOf: "What all tests leave unsure",
    lines: conditions,
  });
}
