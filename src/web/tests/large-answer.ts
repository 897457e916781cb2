// The large answer of a test's page: the time, the next test's, or why there is none.
import { formatDuration } from "#shared/format/duration.ts";
import { formatDayAndTime } from "#shared/format/instant.ts";
import { formatDensity, formatFixed, formatShare } from "#shared/format/number.ts";
import type { SavedTest } from "#shared/schema/test.ts";
import { readyScene, sunInScene } from "#shared/sun/sky/printing-strength.ts";
import { sceneFrom } from "#shared/sun/sky/scene.ts";
import type { StoreReader } from "#src/store/store.ts";
import { nextTestAnswer, timeAnswer, withoutTime, type AnswerView } from "#src/web/parts/answer-view.ts";
import { placeWarnings } from "#shared/words/tests/verdict-words.ts";

/** The page's large answer: the time, the next test's, or why there is none. */
export function answerOf(store: StoreReader, test: SavedTest): AnswerView {
  const { request, exposure } = test;
  const film = request.filmId == null ? undefined : store.films.find(request.filmId);
  const sun = sunOfTime(test);
  const material = film === undefined ? "with no film over the coating" : `through ${film.name}`;
  const conditions =
    `For ${formatShare(exposure.targetShare)} of the deepest blue, ${material} (density ` +
    `${formatDensity(exposure.filmDensity)}).`;
  if (exposure.seconds !== null) {
    const isDoubted = exposure.verdict === "unreliable" || test.warnings.some(({ code }) => placeWarnings.has(code));
    return timeAnswer({
      state: isDoubted ? "doubtful" : "good",
      seconds: exposure.seconds,
      range: exposure,
      nextPrint: exposure.nextPrint,
      lines: [...(sun === null ? [] : [sun]), conditions],
    });
  }
  if (carriesTones(test)) return withoutTime("This print is for the tone curve", []);
  if (exposure.nextTestSeconds === null) return withoutTime("No time from this test", []);
  const bound = oneSidedWords(exposure);
  return nextTestAnswer(exposure.nextTestSeconds, bound === null ? [] : [`The exposure you want is ${bound}.`]);
}

/** Where only one end of the range is known: "more than 1:36". */
function oneSidedWords({ lowerSeconds, upperSeconds }: SavedTest["exposure"]): string | null {
  if (lowerSeconds !== null) return `more than ${formatDuration(lowerSeconds)}`;
  return upperSeconds === null ? null : `less than ${formatDuration(upperSeconds)}`;
}

/** A strip of levels or a wedge sheet measures tones, not time. */
export function carriesTones({ request }: SavedTest): boolean {
  return request.tablet.kind === "levels" || request.tablet.kind === "sheet";
}

/** The sun under which a test's seconds are true, in a sentence; null where it was not made in the sun. */
export function sunOfTime({ request: { sun } }: Pick<SavedTest, "request">): string | null {
  if (sun === undefined || sun === null) return null;
  const atMs = Date.parse(sun.startedAt);
  const heightDegrees = 90 - sunInScene(readyScene(sceneFrom({ ...sun, sky: sun.sky ?? "clear" })), atMs).zenithDegrees;
  return (
    `In a sun like that of ${formatDayAndTime(sun.startedAt)}, ${formatFixed(heightDegrees, 0)}° high. At another ` +
    "hour or season it is another time."
  );
}
