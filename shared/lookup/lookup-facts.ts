// What a time of a combination says, as codes and numbers. `lookup-words.ts` of shared/words makes the sentences.
import type { BatchExpired } from "#shared/coating/keeping-facts.ts";
import type { FilmBasis } from "#shared/film/film-in-light.ts";
import type { LampAgeingFinding } from "#shared/lamp/lamp-facts.ts";
import type { Finish } from "#shared/studio-model/observation.ts";
import type { Verdict } from "#shared/schema/curve.ts";
import type { ExposureAnswer } from "#shared/schema/exposures.ts";

/** A test as a sentence names it; the name may be empty. */
export interface NamedTest {
  readonly name: string;
  readonly madeAt: string;
}

/** The name of a test and its day, as a sentence takes them. */
export function namedTest({ name, madeAt }: NamedTest): NamedTest {
  return { name, madeAt };
}

/** Facts about a time that its user should know; each code stays as it is once it is out. */
export type LookupWarning =
  | { readonly code: "film-base-missing"; readonly filmName: string }
  | { readonly code: "sun-changes" }
  | BatchExpired
  /** `odd` stands furthest from the others, where there are more than two. */
  | { readonly code: "tests-disagree"; readonly odd?: NamedTest }
  /** The newest of the tests stands alone; positive: it is slower. */
  | { readonly code: "newest-test-odd"; readonly test: NamedTest; readonly stops: number }
  | { readonly code: "something-changed"; readonly since: string }
  /** Tests that are taken together were finished differently, or coated in other air. */
  | {
      readonly code: "conditions-differ";
      readonly finish: readonly (keyof Finish)[];
      /** Driest and dampest [%]; null where they are alike. */
      readonly humidityPercent: readonly [number, number] | null;
    }
  | { readonly code: "share-not-reached"; readonly share: number }
  | { readonly code: "re-test-lamp"; readonly ageing: LampAgeingFinding }
  | { readonly code: "wide-range"; readonly lowerSeconds: number; readonly upperSeconds: number };

/** Where a time comes from, step by step. Their codes stay inside the program. */
export type Provenance =
  | { readonly code: "one-test"; readonly test: NamedTest }
  /** The weightiest first. */
  | { readonly code: "several-tests"; readonly tests: readonly NamedTest[] }
  | { readonly code: "other-suns"; readonly tests: number }
  | { readonly code: "unreliable-left-out"; readonly tests: readonly NamedTest[] }
  | { readonly code: "same-picture"; readonly tests: readonly NamedTest[] }
  /** The batch that a time is for, and how many of the tests were coated with it. */
  | { readonly code: "of-batch"; readonly madeOn: string; readonly lot: string; readonly tests: number }
  /** The last change that was noted, with the combination's tests since then and before. */
  | {
      readonly code: "since-change";
      readonly scope: "lamp" | "support" | "coating";
      readonly since: string;
      readonly tests: number;
      readonly before: number;
    }
  /** Logged prints of the combination, by how they came out. */
  | { readonly code: "judged-prints"; readonly tooLight: number; readonly right: number; readonly tooDark: number }
  /** What its own tests say by themselves, where the rest of the studio moves that. */
  | { readonly code: "own-mean"; readonly tests: number; readonly seconds: number }
  | { readonly code: "for-bare-coating" }
  | {
      readonly code: "for-film";
      readonly filmName: string;
      readonly baseDensity: number;
      readonly basis: FilmBasis;
      readonly testHadFilm: boolean;
    }
  | { readonly code: "film-of-test-unknown"; readonly test: NamedTest }
  | { readonly code: "too-far"; readonly test: NamedTest; readonly fromMm: number; readonly toMm: number }
  | { readonly code: "distance-unknown"; readonly test: NamedTest }
  | {
      readonly code: "other-distance";
      readonly fromMm: number;
      readonly toMm: number;
      readonly basis: "shape" | "unknown-shape";
      readonly shiftLogH: number;
    }
  | {
      readonly code: "other-lamp-hours";
      readonly fromHours: number;
      readonly toHours: number;
      readonly shiftLogH: number;
    }
  | { readonly code: "test-without-time"; readonly test: NamedTest; readonly verdict: Verdict }
  | {
      readonly code: "make-a-test";
      readonly coatingName: string;
      readonly supportName: string;
      readonly lampName: string;
    }
  | { readonly code: "tests-share-too-little" }
  | { readonly code: "far-from-usual-distance" }
  | { readonly code: "usual-distance-unknown" }
  | { readonly code: "predicted" }
  | {
      readonly code: "drawn-from";
      readonly tests: number;
      /** How many of them share a part with the wanted combination. */
      readonly sharing: { readonly lamp: number; readonly support: number; readonly coating: number };
    }
  | { readonly code: "lamp-untested"; readonly lampName: string }
  | { readonly code: "from-usual-distance"; readonly toMm: number; readonly shiftLogH: number }
  | { readonly code: "replace-the-guess" };

/** The answer before it is put into words. */
export type ExposureFinding = Omit<ExposureAnswer, "provenance" | "warnings"> & {
  readonly provenance: readonly Provenance[];
  readonly warnings: readonly LookupWarning[];
};

/** Facts about a pair of tests. */
export type ComparisonWarning =
  /** Tests of one of the two combinations contradict each other. */
  | { readonly code: "tests-disagree"; readonly supportName: string; readonly coatingName: string }
  | { readonly code: "channels-differ" }
  /** Their densities stand on different scales: an instrument's filter, a picture in colour, a grey one. */
  | { readonly code: "scales-differ" }
  | { readonly code: "sun-changes" }
  | { readonly code: "film-base-missing" }
  | { readonly code: "no-time" }
  | { readonly code: "tone-unchecked" };
