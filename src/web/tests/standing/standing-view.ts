// What a test's page says of the other tests of its combination, and the time to print by.
import { formatDuration } from "#shared/format/duration.ts";
import type { ExposureAnswer } from "#shared/schema/exposures.ts";
import type { SavedTest } from "#shared/schema/test.ts";
import { leftOutWords, samePictureWords, togetherWords } from "#shared/words/tests/standing-words.ts";
import type { TestStanding } from "#src/studio/tests/standing-among-tests.ts";

interface StandingNotice {
  readonly tone: "note" | "caution" | "stop";
  readonly word: string | null;
  readonly text: string;
  readonly href: string;
  readonly label: string;
}

/** Seconds to print by, with the range of the next print. */
interface PrintTime {
  /** As a clock shows it. */
  readonly shown: string;
  readonly seconds: number;
  readonly lowerSeconds: number | null;
  readonly upperSeconds: number | null;
}

export interface StandingView {
  readonly notices: readonly StandingNotice[];
  /** The time of all tests, where it is another than the test's own. */
  readonly together: string | null;
  /** False where nobody should print by this test. */
  readonly mayPrint: boolean;
  /** Time of the combination in place of the test's own; null where that stands. */
  readonly printTime: PrintTime | null;
}

/** What asks for an answer on the page of a test, by the codes of a looked-up time. */
const asking = new Set(["tests-disagree", "newest-test-odd", "something-changed"]);

/** @param lookupHref where all tests of the combination are shown */
export function standingView(standing: TestStanding, test: SavedTest, lookupHref: string): StandingView {
  const { answer, leftOutReason, samePicture } = standing;
  const isOfAnswer = answer?.testIds.includes(test.id) ?? false;
  const asked = (answer?.warnings ?? []).filter(({ code }) => isOfAnswer && asking.has(code));
  const doDisagree = asked.some(({ code }) => code === "tests-disagree");
  const printTime = answer === null ? null : togetherTime(answer, test);
  return {
    notices: [
      ...(leftOutReason === null ? [] : [leftOutNotice(test.id, leftOutReason)]),
      ...(samePicture === null ? [] : [samePictureNotice(samePicture)]),
      ...asked.map(({ message }): StandingNotice =>
        doDisagree
          ? { tone: "stop", word: "Tests disagree: retest", text: message, href: lookupHref, label: "All its tests" }
          : {
              tone: "caution",
              word: null,
              text: message,
              href: `/studio/boxes/${test.request.lampId}#changed`,
              label: "Say what changed",
            },
      ),
    ],
    together: printTime === null || answer === null ? null : wordsOf(printTime, answer.testIds.length),
    mayPrint: leftOutReason === null && !doDisagree,
    printTime,
  };
}

function leftOutNotice(id: string, reason: string): StandingNotice {
  return {
    tone: "caution",
    word: "Left out",
    text: leftOutWords(reason),
    href: `/tests/${id}/delete`,
    label: "Count it again",
  };
}

function samePictureNotice({ id, madeAt }: NonNullable<TestStanding["samePicture"]>): StandingNotice {
  return { tone: "note", word: null, text: samePictureWords(madeAt), href: `/tests/${id}`, label: "That test" };
}

/** A time that differs by less than this prints alike [stops]. common practice, no source */
const worthSayingStops = 0.1;

/** The combination's own time, where tests of it tell one and it is another than this test's. */
function togetherTime({ seconds, source, nextPrint }: ExposureAnswer, { exposure }: SavedTest): PrintTime | null {
  if (seconds === null || source === "predicted") return null;
  if (exposure.seconds !== null && Math.abs(Math.log2(seconds / exposure.seconds)) < worthSayingStops) return null;
  return {
    shown: formatDuration(seconds),
    seconds,
    lowerSeconds: nextPrint?.lowerSeconds ?? null,
    upperSeconds: nextPrint?.upperSeconds ?? null,
  };
}

function wordsOf({ seconds, lowerSeconds, upperSeconds }: PrintTime, tests: number): string {
  const range = lowerSeconds === null || upperSeconds === null ? null : { lowerSeconds, upperSeconds };
  return togetherWords({ tests, seconds, range });
}
