// What a plan for the sun says in plain sentences.
import type { Warning } from "#shared/schema/reading.ts";
import type { ExposurePlan, SunNote } from "#shared/sun/exposure-plan.ts";
import type { SunPlanWarning, UnfitAnchor } from "#shared/sun/plan-facts.ts";
import { calendarDay, clockTime, type LocalClock } from "#shared/sun/local-clock.ts";
import { plainTime } from "#shared/format/plain-time.ts";
import { formatDay } from "#shared/format/instant.ts";
import { formatFixed } from "#shared/format/number.ts";
import { inWords, sentenceOf, type Sentences } from "#shared/words/sentences.ts";

/** The anchors behind a plan, as sentences need them. */
export interface NamedAnchor {
  readonly name: string;
  readonly atMs: number;
  readonly heightDegrees: number;
}

const whole = (value: number): string => formatFixed(value, 0);
const percent = (share: number): string => `${whole(share * 100)} %`;
const heightIn = (degrees: number): string =>
  degrees < 0 ? `${whole(-degrees)}° below the horizon` : `${whole(degrees)}° high`;

/** Why a test named as an anchor cannot be one, and what to do. */
export function unfitAnchorSentence({ name, reason }: UnfitAnchor): string {
  switch (reason) {
    case "no-sun-conditions":
      return `The test "${name}" does not say where and when it stood in the sun: add place, start and tilt to it.`;
    case "no-advice":
      return `The test "${name}" could not tell a time itself: see what it says to do next, and repeat it.`;
    case "no-exposure-time":
      return `The test "${name}" does not say how long it was exposed: add the time to it.`;
    case "too-long":
      return `The test "${name}" lasted longer than a day, over which the sun says nothing: make a shorter one.`;
    case "under-cloud":
      return (
        `The test "${name}" was printed under an overcast sky, whose strength nobody knows: repeat it in clear ` +
        "sun."
      );
    case "no-light":
      return (
        `By its place and time the test "${name}" stood in the dark or turned from the sun: check the date, the ` +
        "offset of the time, east and west, and the tilt."
      );
  }
}

/** Why a sky tells no time, and what does. */
function unsuitableSkyWords(notes: readonly SunNote[]): string[] {
  if (notes.includes("overcast"))
    return [
      "An overcast sky lets through anything from a quarter to three quarters of the light: no time can be given.",
      "Uncover a test strip in steps beside the print, or wait for the sun.",
    ];
  if (notes.includes("shade-needs-shade-anchor"))
    return [
      "Open shade is a light of its own, and nothing made in the sun tells its time.",
      'Make a test in that shade, under a lamp of the kind "open shade".',
    ];
  return ["The anchor was printed in open shade, which tells nothing about the sun.", "Make a test in the sun."];
}

/** When the sun stands high enough for a time to be told. */
function usefulWords(plan: ExposurePlan, at: (ms: number) => string): string {
  if (plan.sunDay.useful.length === 0)
    return "It does not come higher than 10° that day, so no time can be given; another season or a lamp will.";
  const useful = plan.sunDay.useful.find((stretch) => stretch.untilMs > plan.startMs);
  if (useful === undefined) return "It will not stand higher than 10° again that day: wait for tomorrow.";
  return useful.fromMs > plan.startMs
    ? `It stands higher than 10° from ${at(useful.fromMs)} to ${at(useful.untilMs)}.`
    : `It stands higher than 10° until ${at(useful.untilMs)}: start earlier.`;
}

/** The sentences of a plan: the time and where it comes from, or why there is none and what to do. */
export function sunReasons(
  plan: ExposurePlan,
  context: { readonly clock: LocalClock; readonly anchors: readonly NamedAnchor[]; readonly hazeFitted: number | null },
): string[] {
  const { clock, anchors } = context;
  const at = (ms: number): string => clockTime(clock, ms);
  const usefulSentence = usefulWords(plan, at);
  switch (plan.verdict) {
    case "ok": {
      const seconds = plan.seconds ?? 0;
      return [
        `Out at ${at(plan.startMs)}, in at ${at(plan.startMs + seconds * 1000)}: ${plainTime(seconds)}.`,
        `The sun stands ${heightIn(plan.heightDegrees)} at the start and prints with ` +
          `${percent(plan.strengthShare)} of the day's best strength on this frame.`,
        ...anchorSentences(anchors, plan, clock),
        ...(context.hazeFitted === null
          ? []
          : [`The haze was fitted to your anchors: ${formatFixed(context.hazeFitted, 2)}.`]),
      ];
    }
    case "not-before-sunset":
      if (plan.notes.includes("horizon-before-end"))
        return [
          "The sun goes behind what stands round the frame before the print has had its light; shade prints otherwise.",
          "Start earlier, move the frame to where the sun stays longer, or make a test in that shade.",
        ];
      return [
        plan.sunDay.kind === "up"
          ? "The light that the print needs does not fall on this frame within a day."
          : "The light that the print needs does not fall on this frame before sunset" +
            (plan.sunDay.sunsetMs === null ? "" : ` at ${at(plan.sunDay.sunsetMs)}`) +
            ".",
        "Start earlier, turn the frame to the sun, or print on another day.",
      ];
    case "sun-too-low":
      if (plan.notes.includes("sun-low-at-end"))
        return [
          "Before the print has had its light, the sun sinks below 10°, where no time can be trusted.",
          usefulSentence,
        ];
      if (plan.notes.includes("behind-horizon"))
        return [
          "The sun stands behind what you told of the horizon, or within 2° of its edge: the frame lies in its shade.",
          "Choose another hour or place, or make a test in that shade.",
        ];
      return [
        plan.notes.includes("sun-down")
          ? "The sun is down at that time."
          : `The sun stands only ${heightIn(plan.heightDegrees)} at that time, and below 10° no time can be trusted.`,
        usefulSentence,
      ];
    case "no-anchor":
      return plan.notes.includes("glass-differs")
        ? [
            "The anchor was printed with another glass over it, and glass changes the light: make a test with " +
              "this frame.",
          ]
        : [
            "There is no print of yours to scale by yet, so only the relative strength of the day is shown.",
            "Print one test in the sun, save it with place, start, tilt and facing, and choose it as the anchor.",
          ];
    case "sky-unsuitable":
      return unsuitableSkyWords(plan.notes);
  }
}

function anchorSentences(anchors: readonly NamedAnchor[], plan: ExposurePlan, clock: LocalClock): string[] {
  const [first] = anchors;
  if (first === undefined) return [];
  if (anchors.length === 1)
    return [
      `Scaled by "${first.name}" of ${formatDay(calendarDay(clock, first.atMs))}, when the sun stood ` +
        `${heightIn(first.heightDegrees)}.`,
    ];
  return [
    `Scaled by ${anchors.length} anchors, which differ by ${percent(Math.exp(plan.wanted?.spreadLn ?? 0) - 1)} ` +
      "(standard deviation).",
  ];
}

const noteMessages: Readonly<Partial<Record<SunNote, string>>> = {
  "thin-cloud":
    "Thin or small clouds change the light from minute to minute (78 to 111 % of a clear sky): the range allows " +
    "for it, the time does not.",
  "passing-cloud":
    'Passing clouds cut the light to anything down to a third: use the dose clock and press "sun hidden" whenever ' +
    "the sun goes.",
  "dose-without-conditions":
    "A bare dose does not say under which sun it was found, so the range is as wide as between two seasons.",
  "other-season":
    "The anchor was printed in another season, whose haze may differ by 15 %: one test now would narrow the range.",
  "far-from-anchor":
    "The sun stands much higher or lower than in the anchor: a test at this hour would narrow the range.",
  elsewhere:
    "The print that this is scaled by was made elsewhere: in another region, at another height, on another " +
    "ground, in other haze or with the frame lying otherwise. The range is wider for it; a test as you print now " +
    "would narrow it.",
  "anchors-disagree":
    "The prints that this is scaled by contradict each other, and their mean may be true of neither: untick the " +
    "one that you trust less.",
  "turned-from-sun":
    "The frame is turned from the sun and gets little of its light, so that a few degrees of turning change the " +
    "time much. Check tilt and facing.",
  "low-sun": "With the sun this low nobody should promise better than a quarter more or less.",
  "upper-not-reached": "If the light is at the weak end of the range, the sun sets before the print is done.",
};

const planSentences: Sentences<SunPlanWarning> = {
  "haze-not-fitted":
    "The haze was not fitted: that takes two anchors of one clear day with the sun at heights at least 20° apart.",
  "haze-at-bound": "No believable haze makes these anchors agree: look for a slip in one of them.",
  "anchors-differ":
    "These anchors are of different papers, coatings or films, whose mean means nothing: choose those of one " +
    "combination.",
  "clock-does-not-fit":
    "The time zone does not fit the longitude. Check east and west, and the zone: such a slip is bigger than " +
    "everything else here.",
  "anchor-left-out": unfitAnchorSentence,
};

/**
 * What to keep in mind with a plan's time, each with its stable code: its own notes, then what its anchors and clock
 * say.
 */
export function sunWarnings(plan: Pick<ExposurePlan, "notes">, further: readonly SunPlanWarning[]): Warning[] {
  const own = plan.notes.flatMap((code) => {
    const message = noteMessages[code];
    return message === undefined ? [] : [{ code, message }];
  });
  return [...own, ...inWords(further, (fact) => sentenceOf(planSentences, fact))];
}
