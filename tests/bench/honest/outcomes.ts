// Answers against truth, counted.
import { usualCoating } from "#shared/curve/systematic-errors.ts";
import { stopsFromLogH } from "#shared/units/stops.ts";
import { bestRange } from "./best-rule.ts";
import { supposedCoatings, type Condition } from "./conditions.ts";
import { narrowestHalfLogH } from "./narrowest-range.ts";
import { assessed, sidewaysShare, simulatedPrint, type Knowledge, type Margin } from "./simulated-print.ts";
import type { FamilyName } from "./truth-curves.ts";

export interface Outcome {
  readonly seed: number;
  readonly family: FamilyName;
  readonly steps: number;
  readonly verdict: string;
  /** Advised minus true, stops; null where no time was told. */
  readonly errorStops: number | null;
  readonly lowerStops: number | null;
  readonly upperStops: number | null;
  readonly isHeld: boolean;
  /** Lower bound against truth where no time was told, stops; above 0 the bound is false. */
  readonly boundStops: number | null;
  readonly narrowestStops: number;
  /**
   * The same for whoever is not told that the coating is better than usual, or knows it as well as the coating beside
   * the strip tells. The tablet's errors are admitted as the program is told them, those of a usual tablet elsewhere.
   */
  readonly narrowestUntoldStops: number;
  /** What the best rule tells of the same print, where it was asked. */
  readonly best: Outcome | null;
}

export interface Plan extends Knowledge {
  readonly count: number;
  readonly firstSeed: number;
  readonly families: readonly FamilyName[];
  readonly condition: Condition;
  readonly margin: Margin;
  /** The best rule is slow: it is asked of one print in so many, or of none where absent. */
  readonly bestOneIn?: number;
}

export function outcomes({ count, firstSeed, bestOneIn, ...rest }: Plan): Outcome[] {
  return Array.from({ length: count }, (_, i) => firstSeed + i).map((seed) => {
    // Families and strips take turns by the number: the prints that are asked run through all of them.
    const isBestAsked = bestOneIn !== undefined && Math.floor(seed / rest.families.length) % bestOneIn === 0;
    return outcome({ seed, isBestAsked, ...rest });
  });
}

function outcome({
  isBestAsked,
  isCoatingTold,
  isPaired = false,
  earlierSheets = 0,
  isBesideSeen = false,
  ...input
}: Parameters<typeof simulatedPrint>[0] & Knowledge & { readonly isBestAsked: boolean }): Outcome {
  const print = simulatedPrint(input);
  const { seconds, lowerSeconds, upperSeconds, verdict } = assessed(print, {
    isCoatingTold,
    isPaired,
    earlierSheets,
    isBesideSeen,
  }).exposure;
  const { gradient, bow } = print.condition;
  const drawn = isPaired ? { gradient: 0, bow } : { gradient, bow };
  const unseen = isBesideSeen ? besideKnown : usualAtLeast(print.condition);
  const usual = isPaired ? { ...unseen, gradient: 0 } : unseen;
  const strips = isPaired ? 2 : 1;
  const from = (time: number | null) => (time === null ? null : stopsFromLogH(Math.log10(time) - print.truth));
  const [errorStops, lowerStops, upperStops] = [seconds, lowerSeconds, upperSeconds].map(from);
  const told: Outcome = {
    seed: input.seed,
    family: print.coating.family,
    steps: print.strip.steps,
    verdict,
    errorStops: errorStops!,
    lowerStops: lowerStops!,
    upperStops: upperStops!,
    isHeld: seconds !== null && lowerStops! <= 0 && upperStops! >= 0,
    boundStops: seconds === null ? lowerStops! : null,
    narrowestStops: stopsFromLogH(narrowestHalfLogH(print, drawn, strips)),
    narrowestUntoldStops: stopsFromLogH(narrowestHalfLogH(print, usual, strips)),
    best: null,
  };
  if (!isBestAsked) return told;
  const coatings = isCoatingTold ? [{ gradient, bow, common: 1 }] : supposedCoatings;
  const best = bestRange(print, { families: input.families, coatings, isBesideSeen });
  const [bestError, bestLower, bestUpper] = [best.logSeconds, best.lower, best.upper].map((logSeconds) =>
    stopsFromLogH(logSeconds - print.truth),
  );
  return {
    ...told,
    best: {
      ...told,
      verdict: "ok",
      errorStops: bestError!,
      lowerStops: bestLower!,
      upperStops: bestUpper!,
      isHeld: bestLower! <= 0 && bestUpper! >= 0,
      boundStops: null,
    },
  };
}

/** How well the coating under the strip can be known from that on both sides of it, as it is drawn [share]. */
const besideKnown = { gradient: sidewaysShare / Math.SQRT2, bow: sidewaysShare / Math.SQRT2 };

/** A strip cannot tell an even coating from one of usual unevenness: not told, the usual one must be admitted. */
function usualAtLeast({ gradient, bow }: Condition): Pick<Condition, "gradient" | "bow"> {
  return {
    gradient: Math.max(gradient, usualCoating.coatingGradient),
    bow: Math.max(bow, usualCoating.coatingBow),
  };
}

export interface Summary {
  readonly tests: number;
  readonly goodPercent: number;
  readonly heldPercent: number;
  readonly medianErrorStops: number;
  readonly ninetyPercentErrorStops: number;
  readonly meanErrorStops: number;
  readonly medianHalfStops: number;
  readonly medianNarrowestStops: number;
  readonly medianNarrowestUntoldStops: number;
  /** Called good, wrong by more than 0.3 stop, of all. */
  readonly goodButFarPercent: number;
  /** Called good with a range that misses, of all. */
  readonly goodButMissedPercent: number;
  /** Called good, wrong by more than 0.3 stop and outside its own range, of all. */
  readonly goodFarAndMissedPercent: number;
  readonly falseBoundPercent: number;
}

/** Wrong by more than this spoils a print. */
const farStops = 0.3;

export function summary(all: readonly Outcome[]): Summary {
  const told = all.filter((one) => one.errorStops !== null);
  const good = all.filter((one) => one.verdict === "ok");
  const sizes = told.map((one) => Math.abs(one.errorStops!));
  const percent = (list: readonly Outcome[], holds: (one: Outcome) => boolean) =>
    list.length === 0 ? 0 : (100 * list.filter(holds).length) / list.length;
  const among = (holds: (one: Outcome) => boolean) => (100 * good.filter(holds).length) / all.length;
  return {
    tests: all.length,
    goodPercent: percent(all, (one) => one.verdict === "ok"),
    heldPercent: percent(told, (one) => one.isHeld),
    medianErrorStops: atShare(sizes, 0.5),
    ninetyPercentErrorStops: atShare(sizes, 0.9),
    meanErrorStops: told.reduce((sum, one) => sum + one.errorStops!, 0) / told.length,
    medianHalfStops: atShare(
      told.map((one) => (one.upperStops! - one.lowerStops!) / 2),
      0.5,
    ),
    medianNarrowestStops: atShare(
      told.map((one) => one.narrowestStops),
      0.5,
    ),
    medianNarrowestUntoldStops: atShare(
      told.map((one) => one.narrowestUntoldStops),
      0.5,
    ),
    goodButFarPercent: among((one) => Math.abs(one.errorStops!) > farStops),
    goodButMissedPercent: among((one) => !one.isHeld),
    goodFarAndMissedPercent: among((one) => Math.abs(one.errorStops!) > farStops && !one.isHeld),
    falseBoundPercent: percent(all, (one) => one.boundStops !== null && one.boundStops > 0),
  };
}

function atShare(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN;
}
