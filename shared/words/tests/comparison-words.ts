// What is said about two tests side by side.
import { formatDuration } from "#shared/format/duration.ts";
import { formatFixed, formatStops } from "#shared/format/number.ts";
import type { ComparedPair, TestToCompare } from "#shared/lookup/compare-tests.ts";
import type { ComparisonWarning } from "#shared/lookup/lookup-facts.ts";
import type { PooledTime, TestPair } from "#shared/schema/comparisons.ts";
import { inWords, sentenceOf, type Sentences } from "#shared/words/sentences.ts";

/** Below this difference (a fortieth of a stop of grey) no eye sees the blue change; from memory. */
const unseenDensity = 0.03;
/** A difference of this density between two deep blues is plain to any eye; common practice, no source. */
const plainDensity = 0.3;
/** Times that differ by no more than this print alike; common practice, no source. */
const alikeStops = 1 / 3;

const warnings: Sentences<ComparisonWarning> = {
  "tests-disagree": ({ supportName, coatingName }) =>
    `The tests of ${coatingName} on ${supportName} contradict each other, so what is said here of its time may be ` +
    "true of none of them: make one more test.",
  "channels-differ":
    "One test was read in the red channel, the other by eye (visual): their densities cannot be compared. Set " +
    "both to the same channel.",
  "scales-differ":
    "Their densities stand on different scales (an instrument's filter, a picture in colour, a grey picture), so how " +
    "deep and how steep they are cannot be compared: read both in one way. Their times may be compared.",
  "sun-changes":
    "The sun changed between the tests, so their times do not compare the materials; ranges and densities do.",
  "film-base-missing":
    "One test was made through a film whose base density is not known, so the times cannot be compared: enter the " +
    "density under films.",
  "tone-unchecked":
    "One of these tests was read from a photo whose tone is not known, so how deep its blue is, and how steep its " +
    "curve, is less sure; the ranges allow for it. To compare the blues, scan both prints, or photograph both with " +
    "a grey scale.",
  "no-time": "One of the tests did not reach its shoulder, so their speeds cannot be compared.",
};

/** What to keep in mind with a pair of tests. */
const comparisonWarningWords = (fact: ComparisonWarning): string => sentenceOf(warnings, fact);

/** A pair as the answer carries it: what it comes to, and what to keep in mind. */
export function pairInWords(
  { warnings: facts, ...pair }: ComparedPair,
  first: TestToCompare,
  second: TestToCompare,
  pooled: Omit<PooledTime, "sentence"> | null,
): TestPair {
  return {
    ...pair,
    pooled: pooled === null ? null : { ...pooled, sentence: pooledSentence(first, second, pooled) },
    sentence: pooled === null ? pairSentence(first, second, pair) : aloneSentence(pairSentence(first, second, pair)),
    warnings: inWords(facts, comparisonWarningWords),
  };
}

interface Difference {
  readonly value: number;
  readonly lower: number;
  readonly upper: number;
}

function timeWords(one: string, other: string, { value, lower, upper }: Difference): string {
  const range = `${formatFixed(lower, 2)} to ${formatFixed(upper, 2)}`;
  const stops = [Math.log2(lower), Math.log2(upper)] as const;
  const inStops = stops.map(formatStops).join(" to ");
  if (lower > 1 || upper < 1)
    return `${other} needs ${formatFixed(value, 2)} times the time of ${one}, ${range} (${inStops})`;
  const figures = `(${formatFixed(value, 2)} times, ${range}; ${inStops})`;
  return Math.max(-stops[0], stops[1]) <= alikeStops
    ? `${other} needs about the same time as ${one} ${figures}`
    : `no difference in time shows between ${one} and ${other} ${figures}`;
}

function deepestBlueWords({ value, lower, upper }: Difference): string {
  const isReal = lower > 0 || upper < 0;
  if (!isReal && Math.max(-lower, upper) > plainDensity) {
    const range = `${formatFixed(-lower, 2)} weaker to ${formatFixed(upper, 2)} stronger`;
    return `whether its maximum blue differs cannot be told (${range})`;
  }
  if (!isReal) return `its maximum blue is the same within ${formatFixed(Math.max(-lower, upper), 2)}`;
  return Math.abs(value) < unseenDensity
    ? "its maximum blue is the same to the eye"
    : `its maximum blue is ${value < 0 ? "weaker" : "stronger"} by ${formatFixed(Math.abs(value), 2)}`;
}

/** Nothing where the difference may be chance. */
function rangeWords({ value, lower, upper }: Difference): string[] {
  if (lower <= 0 && upper >= 0) return [];
  return [
    `it takes a negative ${formatFixed(Math.abs(value), 2)} ${value > 0 ? "longer" : "shorter"} in density range`,
  ];
}

function pairSentence(
  first: TestToCompare,
  second: TestToCompare,
  pair: Pick<TestPair, "timeRatio" | "dMaxDifference" | "logExposureRangeDifference">,
): string {
  const [one, other] = namesOf(first, second);
  const { timeRatio, dMaxDifference, logExposureRangeDifference } = pair;
  const parts = [
    ...(timeRatio === null ? [] : [timeWords(one, other, timeRatio)]),
    ...(dMaxDifference === null ? [] : [deepestBlueWords(dMaxDifference)]),
    ...(logExposureRangeDifference === null ? [] : rangeWords(logExposureRangeDifference)),
  ];
  if (parts.length === 0) {
    const isWithoutCurve = first.curve === null || second.curve === null;
    const why = isWithoutCurve ? "one of them has no curve" : "neither time nor density is known for both";
    return `These two tests cannot be compared: ${why}.`;
  }
  const sentence = parts.join("; ");
  return `${sentence.charAt(0).toUpperCase()}${sentence.slice(1)}.`;
}

/** Beside the answer of all tests, what the two chosen ones say is named as theirs alone. */
function aloneSentence(sentence: string): string {
  return `By these two tests alone: ${sentence}`;
}

function pooledSentence(
  first: TestToCompare,
  second: TestToCompare,
  { timeRatio, firstTests, secondTests, firstSeconds, secondSeconds }: Omit<PooledTime, "sentence">,
): string {
  const [one, other] = namesOf(first, second);
  const count = (tests: number): string => (tests === 1 ? "the one test" : `all ${tests} tests`);
  const basis = `By ${count(firstTests)} of ${one} and ${count(secondTests)} of ${other}`;
  const times = `${formatDuration(secondSeconds)} against ${formatDuration(firstSeconds)}`;
  return `${basis}: ${timeWords(one, other, timeRatio)}, ${times}.`;
}

/** What tells the two apart: support, coating or lamp; else their names or dates. */
function namesOf(first: TestToCompare, second: TestToCompare): [string, string] {
  const differing = (["support", "coating", "lamp"] as const).filter((kind) => first[kind].id !== second[kind].id);
  const [only] = differing;
  if (only !== undefined && differing.length === 1) return [first[only].name, second[only].name];
  if (differing.length > 1)
    return [
      differing.map((kind) => first[kind].name).join(" with "),
      differing.map((kind) => second[kind].name).join(" with "),
    ];
  const [a, b] = [first.name, second.name];
  if (a !== "" && b !== "" && a !== b) return [`"${a}"`, `"${b}"`];
  return ["the first test", "the second"];
}
