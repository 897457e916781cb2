// What is said about the map of a lamp's light over its bed.
import { formatSize } from "#shared/format/length.ts";
import { formatFixed } from "#shared/format/number.ts";
import { plainTime } from "#shared/format/plain-time.ts";
import { formatDuration } from "#shared/format/duration.ts";
import type { EvennessMap } from "#shared/evenness/evenness.ts";
import type { EvennessZone } from "#shared/schema/evenness.ts";
import type { EvennessTrouble, EvennessWarning } from "#shared/evenness/evenness-facts.ts";
import { sentenceOf, type Sentences } from "#shared/words/sentences.ts";

const warnings: Sentences<EvennessWarning> = {
  "light-uneven": ({ stops }) =>
    `The light of the picture itself differs by ${formatFixed(stops, 1)} stops over the area. It was taken out, but ` +
    "a picture in even light makes the map surer.",
  "places-left-out": ({ count, of }) =>
    `${count} of ${of} places were too dark or too pale to tell, and were left out.`,
  "edges-not-measured": ({ widthShare, depthShare }) =>
    `The tablets span ${Math.round(100 * widthShare)} % of the bed's width and ${Math.round(100 * depthShare)} % ` +
    "of its depth. Beyond them the map only carries on what it saw: lay the outer ones nearer to the edges.",
  "no-paper":
    "Beside some tablets no bare paper was found, so the picture's own light could not be taken out there. Leave " +
    "bare paper round each tablet.",
};

/** What to keep in mind with a map. */
export const evennessWarningWords = (fact: EvennessWarning): string => sentenceOf(warnings, fact);

/** Why several tablets give no map, and what to do. */
export const evennessTroubleSentences: Sentences<EvennessTrouble> = {
  "tablets-in-line":
    "The tablets lie on one line, or all in one place, so the map would know nothing of the bed beside it. Lay " +
    "them towards its corners and in its middle, and check the places.",
  "middle-tablet-without-curve": ({ tablet }) =>
    `Tablet ${tablet}, nearest the middle, gave no curve. Check its corners, and that its steps run from deep ` +
    "blue to paper.",
  "tablet-without-middle-blue": ({ tablet }) =>
    `Tablet ${tablet} has too few steps of middle blue to be compared with the others. Check its corners, and the ` +
    "exposure.",
  "blue-tells-nothing": ({ share, middleSeconds }) =>
    `${Math.round(100 * share)} % of the area is so dark or so pale that its blue hardly changes with light, and ` +
    "says nothing about it. Print a middle blue" +
    (middleSeconds === null ? "" : `: about ${plainTime(middleSeconds)} without a film`) +
    ".",
};

/**
 * From brightest to dimmest: "0.99 stop (95 %: 0.81 to 1.15)".
 * @param map what the figure is of; without it, or in one of an older version, the range is not known
 */
export function bedRangeWords(
  rangeStops: number,
  map: Pick<EvennessMap, "lowerStops" | "upperStops"> | undefined,
): string {
  const { lowerStops, upperStops } = map ?? {};
  const range =
    lowerStops === undefined || upperStops === undefined
      ? ""
      : ` (95 %: ${formatFixed(lowerStops, 2)} to ${formatFixed(upperStops, 2)})`;
  return `${formatFixed(rangeStops, 2)} stop${range}`;
}

/** The word for the first or the last third of a way; none for the middle. */
function thirdWord(share: number, first: string, last: string): string {
  if (share < 1 / 3) return first;
  return share > 2 / 3 ? last : "";
}

/** Name of a place of the bed as one looks down on it. */
export function placeName({ x, y }: { readonly x: number; readonly y: number }): string {
  const down = thirdWord(y, "back", "front");
  const across = thirdWord(x, "left", "right");
  return down === "" && across === "" ? "the middle" : `the ${[down, across].filter((word) => word !== "").join(" ")}`;
}

/** Below this a bed counts as even [stops]: a tenth of a stop is about what careful printing repeats to. */
const evenStops = 0.1;

/** Sentences: how uneven, how sure, where to put the work, what noise allows. */
export function evennessReasons(map: EvennessMap): string[] {
  const { worstToBestStops: range, lowerStops = range, upperStops = range } = map;
  const lines = [
    `The weakest place gets ${Math.round(100 / map.worstToBestRatio)} % of the light of the strongest: ` +
      `${formatFixed(range, 2)} stop less (95 %: ${formatFixed(lowerStops, 2)} to ${formatFixed(upperStops, 2)}). ` +
      `Strongest at ` +
      `${placeName(map.best)}, weakest at ${placeName(map.worst)}; "back" is the top of the picture.`,
  ];
  if (lowerStops === 0 || range < evenStops)
    lines.push(
      "That is no more than this print can tell apart from its own coating: call the bed even, to within " +
        `${formatFixed(upperStops, 2)} stop.`,
    );
  if (map.beyondStops > 0.1)
    lines.push(
      `${formatFixed(map.beyondStops, 2)} stop of that lies beyond the outermost places measured, where the map only ` +
        "carries on what it saw; the range allows for it.",
    );
  const { workArea } = map;
  const size =
    workArea.widthMm !== null && workArea.heightMm !== null
      ? formatSize(workArea.widthMm, workArea.heightMm)
      : `${Math.round(100 * workArea.width)} % of the width by ${Math.round(100 * workArea.height)} % of the depth`;
  lines.push(
    `${Math.round(100 * map.withinTenthShare)} % of the bed lies within a tenth of a stop of the best place. Put ` +
      `the work inside ${size} round ` +
      `${placeName({ x: workArea.x + workArea.width / 2, y: workArea.y + workArea.height / 2 })}.`,
  );
  lines.push(
    `Coating and picture scatter by ${formatFixed(map.noiseStops, 2)} stop from place to place; finer differences ` +
      "are not to be read from this map.",
  );
  return lines;
}

/** Differences from the middle that are worth a correction [stops]. common practice, no source */
const tellingStops = 0.1;

/** A time at each part of the bed that wants another one than the middle. */
interface ZoneTime {
  /** "the back left". */
  readonly place: string;
  /** "+0:50" or "−0:20". */
  readonly change: string;
}

/**
 * What a time that holds in the middle of a bed wants elsewhere: parts whose light differs by a tenth of a stop or
 * more, and by more than its own standard uncertainty.
 * @param seconds that the middle wants
 */
export function zoneTimes(zones: readonly EvennessZone[], seconds: number): ZoneTime[] {
  return zones
    .filter(({ stops, sigmaStops }) => Math.abs(stops) >= Math.max(tellingStops, sigmaStops))
    .map(({ stops, ...place }) => {
      const more = seconds * (2 ** -stops - 1);
      return { place: placeName(place), change: `${more < 0 ? "−" : "+"}${formatDuration(Math.abs(more))}` };
    });
}
