// What is said about a lamp in use.
import { formatLength } from "#shared/format/length.ts";
import type { LampAgeingFinding } from "#shared/lamp/lamp-facts.ts";
import { secondsAtDistance, type DistanceFit } from "#shared/lamp/distance-fit.ts";
import { formatFixed } from "#shared/format/number.ts";
import type { Reciprocity } from "#shared/lamp/reciprocity.ts";
import type { Lamp } from "#shared/schema/materials.ts";
import { sentenceOf, type Sentences } from "#shared/words/sentences.ts";

const ageing: Sentences<LampAgeingFinding> = {
  overdue: ({ hoursSince }) => `The lamp has burnt ${Math.round(hoursSince)} hours since its last test: test it again.`,
  "too-few-tests": ({ fewest, retestHours }) =>
    `Too few tests with lamp hours to see a trend (at least ${fewest} at different hours); test again every ` +
    `${retestHours} hours.`,
  "off-its-trend": ({ jumpLog }) =>
    `The latest test shows the lamp ${jumpLog < 0 ? "weaker" : "stronger"} than its trend by ` +
    `${Math.round((10 ** Math.abs(jumpLog) - 1) * 100)} %: repeat it, and look at the tubes, the voltage and the ` +
    "distance.",
  "changed-since-test": ({ lossLog }) =>
    `By its trend the lamp has changed by ${Math.round(Math.abs(1 - 10 ** -lossLog) * 100)} % since its last ` +
    "test: test it again.",
  "changes-slowly": ({ lossPercentPer100Hours: loss }) =>
    `The lamp ${loss > 0 ? "loses" : "gains"} about ${Math.abs(loss)} % in 100 hours.`,
  steady: "The lamp is steady within the scatter of its tests.",
};

/** How a lamp ages, and why it should or need not be tested again. */
export const lampAgeingWords = (fact: LampAgeingFinding): string => sentenceOf(ageing, fact);

/**
 * Above this miss the times follow no inverse square [% of the time]; coating by hand alone scatters by 10 to 15.
 * common practice, no source
 */
const mostMissPercent = 20;

/** How the time grows with the distance, and how surely that is known. */
export function distanceFitWords(fit: DistanceFit, [nearestMm, furthestMm]: readonly [number, number]): string {
  const { offsetMm, worstMissPercent } = fit;
  if (worstMissPercent !== null && worstMissPercent > mostMissPercent)
    return (
      `Times at ${fit.distances} distances follow no inverse square: the nearest fit misses by up to ` +
      `${Math.round(worstMissPercent)} %. Test at each distance that you print at.`
    );
  const factor = secondsAtDistance(fit, furthestMm) / secondsAtDistance(fit, nearestMm);
  const where =
    Math.abs(offsetMm) < 0.05 * nearestMm
      ? "from where the distance is measured from"
      : `from ${formatLength(Math.abs(offsetMm))} ${offsetMm > 0 ? "behind" : "before"} the point that the ` +
        "distance is measured from";
  const surely =
    worstMissPercent === null
      ? "Two distances leave nothing to judge this by; a third would."
      : `The tests lie within ${Math.max(1, Math.round(worstMissPercent))} % of this.`;
  return (
    `Times grow with the distance as if the light came ${where}: ${formatLength(furthestMm)} takes ` +
    `${formatFixed(factor, 1)} times as long as ${formatLength(nearestMm)}. ${surely}`
  );
}

/** How lamps behave in their first minutes. Values from memory; verify them for the lamp at hand. */
export const warmUpWords: Readonly<Partial<Record<Lamp["kind"], string>>> = {
  tubes:
    "Tubes take two to five minutes to steady (from memory). Let them burn that long before every exposure, the " +
    "test's as well as the print's.",
  led:
    "Diodes lose five to fifteen percent in their first minutes as they heat (from memory). Begin tests and prints " +
    "alike: always cold, or always warm.",
  panel: "Let the light burn in for some minutes before every exposure, the test's as well as the print's.",
  point:
    "Discharge lamps take three to five minutes to steady, and must cool before they light again (from memory). " +
    "Begin tests and prints alike.",
};

/** What the exponent of reciprocity means at the box, and how surely it is known. */
export function reciprocityWords({ exponent, lower, upper }: Reciprocity): string {
  const range =
    lower === null || upper === null
      ? "two tests leave nothing to judge the scatter by"
      : `between ${formatFixed(lower, 2)} and ${formatFixed(upper, 2)} with 95 % confidence`;
  return (
    `Reciprocity exponent ${formatFixed(exponent, 2)} (${range}), from tests at different distances. ` +
    reciprocityMeaning({ exponent, lower, upper })
  );
}

function reciprocityMeaning({ exponent, lower, upper }: Reciprocity): string {
  if (lower !== null && upper !== null && lower <= 1 && upper >= 1)
    return "Half the light for twice the time gives the same print, as far as these tests tell.";
  if (exponent < 1) return "Weak light needs more than its share of time.";
  return "Weak light needs less than its share of time; the size of the lamp may be entered wrongly.";
}
