// What is said about a time that was looked up: where it comes from, step by step, and how far to trust it.
import { formatDay } from "#shared/format/instant.ts";
import { formatLength } from "#shared/format/length.ts";
import { formatFixed } from "#shared/format/number.ts";
import type { FilmBasis } from "#shared/film/film-in-light.ts";
import type { ExposureFinding, LookupWarning, NamedTest, Provenance } from "#shared/lookup/lookup-facts.ts";
import type { Verdict } from "#shared/schema/curve.ts";
import type { ExposureAnswer } from "#shared/schema/exposures.ts";
import type { Finish } from "#shared/studio-model/observation.ts";
import { plainTime } from "#shared/format/plain-time.ts";
import { keepingWarningWords } from "#shared/words/materials/coating-words.ts";
import { lampAgeingWords } from "#shared/words/materials/lamp-words.ts";
import { inWords, sentenceOf, type Sentences } from "#shared/words/sentences.ts";

/** Tests named in one sentence; the answer's `testIds` has them all. */
const mostNamed = 5;

const warnings: Sentences<LookupWarning> = {
  "film-base-missing": ({ filmName }) =>
    `The base density of "${filmName}" is not known, so its share of the time is missing. Clear film often costs ` +
    "1.1 to 1.6 times as long: enter it under films.",
  "sun-changes":
    "The sun's strength changes with hour, season and sky: this time holds only for a sun like that of the test. " +
    "The sun planner carries it to another day and hour.",
  "batch-expired": keepingWarningWords,
  "tests-disagree": ({ odd }) =>
    "The tests of this combination differ by more than their own ranges and the usual scatter of prints allow: " +
    "something changed between them (bottle, distance, humidity, lamp). " +
    (odd === undefined
      ? "Make one more test to tell which of them holds."
      : `The odd one is the test ${testWords(odd)}: repeat it.`) +
    " " +
    "Until then there is no time to print by.",
  "newest-test-odd": ({ test, stops }) =>
    `The newest test ${testWords(test)} is ${formatFixed(Math.abs(stops), 1)} stop ` +
    `${stops > 0 ? "slower" : "faster"} ` +
    "than those before, more than chance explains. What changed: tubes, bottle, batch, paper lot, distance, season? " +
    "If nothing is known, repeat it before costly work.",
  "something-changed": ({ since }) =>
    `The tests since ${formatDay(since)} differ from those before by more than chance. What changed: tubes, ` +
    "bottle, batch, paper lot, distance, season? The time holds to the newer ones.",
  "conditions-differ": ({ finish, humidityPercent }) =>
    `These tests were not made alike: ${[
      ...finish.map((key) => finishWords[key]),
      ...(humidityPercent === null
        ? []
        : [`the air held ${Math.round(humidityPercent[0])} to ${Math.round(humidityPercent[1])} % humidity`]),
    ].join("; ")}. What that does is learned from all tests of the studio and allowed for; tests made alike tell more.`,
  "share-not-reached": ({ share }) =>
    `No test of this combination reaches ${Math.round(share * 100)} % of the deepest blue, so its time is not ` +
    "known, only that it is longer. Make a test twice as long.",
  "re-test-lamp": ({ ageing }) => lampAgeingWords(ageing),
  "wide-range": ({ lowerSeconds, upperSeconds }) =>
    `The range is wide, ${plainTime(lowerSeconds)} to ${plainTime(upperSeconds)}: use it to choose the time of a ` +
    "first test, not of a print.",
};

/** What to keep in mind with a time. */
const lookupWarningWords = (fact: LookupWarning): string => sentenceOf(warnings, fact);

const finishWords: Readonly<Record<keyof Finish, string>> = {
  acidWash: "some were washed with acid, some in plain water",
  peroxide: "some went through peroxide, some did not",
  oxidised: "some had their final blue when they were read, some had not",
};

const scopeWords = { lamp: "light", support: "paper or cloth", coating: "coating" } as const;

const filmBasisWords: Readonly<Record<FilmBasis, string>> = {
  "this-lamp": ", measured in this light",
  "lamp-kind": ", measured in another light of this kind",
  "one-number": "",
};

const provenance: Sentences<Provenance> = {
  "one-test": ({ test }) =>
    `From the test ${testWords(test)}, made with this lamp, support and coating. How much one print differs from ` +
    "the next shows only when the test is repeated; until then the usual scatter is allowed for.",
  "several-tests": ({ tests }) =>
    `From ${tests.length} tests of this lamp, support and coating, taken together: ${testsWords(tests)}.`,
  "other-suns": ({ tests }) =>
    `${tests} more test${tests === 1 ? " was" : "s were"} made under other suns: their seconds are not taken ` +
    "together with these. The sun planner takes them together as doses.",
  "unreliable-left-out": ({ tests }) => `Not counted, because not to be relied on: ${testsWords(tests)}.`,
  "same-picture": ({ tests }) => `Counted once, because it is the same picture sent again: ${testsWords(tests)}.`,
  "of-batch": ({ madeOn, lot, tests }) =>
    `For the batch of ${formatDay(madeOn)}${lot === "" ? "" : ` (lot ${lot})`}: ` +
    (tests === 0
      ? "no test was coated with it, so what batches usually differ by is in the range. One test with it narrows that."
      : `${tests === 1 ? "one test was" : `${tests} tests were`} coated with it.`),
  "since-change": ({ scope, since, tests, before }) => {
    const older = `${before} older ${before === 1 ? "one helps" : "ones help"}`;
    return (
      `A change of the ${scopeWords[scope]} was noted for ${formatDay(since)}: ` +
      (tests === 0
        ? "no test was made since, so what such a change usually does is in the range. One test narrows that."
        : `the time holds to the ${tests === 1 ? "one test" : `${tests} tests`} since; ${older} where ` +
          `${before === 1 ? "it" : "they"} can.`)
    );
  },
  "judged-prints": ({ tooLight, right, tooDark }) =>
    `Logged prints of it count too: ${[
      ...(tooLight > 0 ? [`${tooLight} too light`] : []),
      ...(right > 0 ? [`${right} right`] : []),
      ...(tooDark > 0 ? [`${tooDark} too dark`] : []),
    ].join(", ")}.`,
  "own-mean": ({ tests, seconds }) =>
    `${tests === 1 ? "That test by itself says" : "Those tests by themselves say"} ${plainTime(seconds)}. Logged ` +
    "prints, what the studio's other tests say of batch, paper, light and tablet, and changes that may have come " +
    "unnoted, move it to the time above.",
  "for-bare-coating": "Reckoned for bare coating, without the film of the test.",
  "for-film": ({ filmName, baseDensity, basis, testHadFilm }) =>
    `Reckoned for the film "${filmName}" by its base density of ${formatFixed(baseDensity, 2)}` +
    `${filmBasisWords[basis]}; the test had ` +
    `${testHadFilm ? "another film" : "no film"}.`,
  "film-of-test-unknown": ({ test }) =>
    `The test ${testWords(test)} was made through a film whose base density is not known, so it says nothing ` +
    "about another film: enter that density.",
  "too-far": ({ test, fromMm, toMm }) =>
    `The test ${testWords(test)} was made at ${formatLength(fromMm)}: ${formatLength(toMm)} is beyond twice (or ` +
    "below half of) the distances tested, so no time is drawn from it. Make a test at the new distance.",
  "distance-unknown": ({ test }) =>
    `The distance of the test ${testWords(test)} is not known, so it cannot be carried to another: enter it with ` +
    "the test or the lamp.",
  "other-distance": ({ fromMm, toMm, basis, shiftLogH }) =>
    `Carried from ${formatLength(fromMm)} to ${formatLength(toMm)} ` +
    (basis === "shape"
      ? "by the lamp's size and shape"
      : "without knowing the lamp's size, which leaves a wide range: enter its width and height") +
    ": " +
    `${factorWords(shiftLogH)}.`,
  "other-lamp-hours": ({ fromHours, toHours, shiftLogH }) =>
    `Carried from ${Math.round(fromHours)} to ${Math.round(toHours)} lamp hours by the lamp's trend: ` +
    `${factorWords(shiftLogH)}.`,
  "test-without-time": ({ test, verdict }) =>
    `The test ${testWords(test)} of just this combination ${untoldWords[verdict] ?? "gave no reliable time"}; its ` +
    "page says how to repeat it.",
  "make-a-test": ({ coatingName, supportName, lampName }) =>
    `Not known yet: make one test of ${coatingName} on ${supportName} under ${lampName}.`,
  "tests-share-too-little": "The tests that there are share too little with it to say more.",
  "far-from-usual-distance": "The distance asked for is too far from the lamp's usual one to reckon.",
  "usual-distance-unknown": "Enter the lamp's usual distance and size, so that another can be reckoned.",
  predicted: "Predicted, not tested: no test was made of just this combination.",
  "drawn-from": ({ tests, sharing }) =>
    `Drawn from ${tests} test${tests === 1 ? "" : "s"} of other combinations, of which ${sharing.lamp} share the ` +
    `lamp, ${sharing.support} the support and ${sharing.coating} the coating.`,
  "lamp-untested": ({ lampName }) => `Nothing was tested under ${lampName} yet, and lamps differ most of all.`,
  "from-usual-distance": ({ toMm, shiftLogH }) =>
    `Carried to ${formatLength(toMm)} from the lamp's usual distance: ${factorWords(shiftLogH)}.`,
  "replace-the-guess": "One test of it replaces this guess.",
};

/** One step of where a time comes from. */
const provenanceWords = (fact: Provenance): string => sentenceOf(provenance, fact);

const untoldWords: Readonly<Partial<Record<Verdict, string>>> = {
  "test-too-short": "was too short",
  "test-too-long": "was too long",
};

function testsWords(tests: readonly NamedTest[]): string {
  const named = tests.slice(0, mostNamed).map(testWords).join("; ");
  return tests.length > mostNamed ? `${named}; and ${tests.length - mostNamed} more` : named;
}

function testWords({ name, madeAt }: NamedTest): string {
  const date = formatDay(madeAt);
  return name === "" ? `of ${date}` : `"${name}" of ${date}`;
}

function factorWords(shiftLogH: number): string {
  const factor = 10 ** Math.abs(shiftLogH);
  return shiftLogH >= 0
    ? `${formatFixed(factor, 2)} times as long`
    : `shorter by a factor of ${formatFixed(factor, 2)}`;
}

/** A looked-up time as the answer carries it; what holds for several tests is said once. */
export function exposureInWords(finding: ExposureFinding): ExposureAnswer {
  return {
    ...finding,
    provenance: [...new Set(finding.provenance.map(provenanceWords))],
    warnings: inWords(finding.warnings, lookupWarningWords),
  };
}
