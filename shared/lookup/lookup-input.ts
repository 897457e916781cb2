// What a lookup is told: the tests with their times, the combination that is wanted, and the fitted model.
import type { Verdict } from "#shared/schema/curve.ts";
import type { LitFilm } from "#shared/film/film-in-light.ts";
import type { Batch, Coating, Lamp, Support } from "#shared/schema/materials.ts";
import type { Tablet } from "#shared/schema/reading.ts";
import type { Finish } from "#shared/studio-model/observation.ts";
import type { StudioFit } from "#shared/studio-model/studio-fit.ts";

/** What a saved test tells about the time of its combination. */
export interface TimedTest {
  readonly id: string;
  readonly name: string;
  readonly madeAt: string;
  readonly lampId: string;
  readonly supportId: string;
  readonly coatingId: string;
  readonly filmId: string | null;
  readonly verdict: Verdict;
  /** log10 of the seconds to 90 % of net D-max; null when the test does not reach it. */
  readonly shoulderLogH: number | null;
  readonly sigmaLogH: number | null;
  readonly degreesOfFreedom: number | null;
  /** True when the film lay over the coating, so that `shoulderLogH` holds its density already. */
  readonly filmInTest: boolean;
  readonly lampDistanceMm: number | null;
  readonly lampHours: number | null;
  readonly isUnderSun: boolean;
  /** Content hash of its picture: the same picture is the same print. */
  readonly pictureId: string;
  readonly tabletKind: Tablet["kind"];
  /** Its steps and how well they are known, as one text: tests in which it is the same share the tablet's error. */
  readonly tablet: string;
  readonly exposureSeconds: number | null;
  /** Share of `sigmaLogH` that all tests of its tablet have in common; null where the fit does not know it. */
  readonly tabletSigmaLogH: number | null;
  /** log10 of the seconds that a test without a time says are too few; null otherwise. */
  readonly boundLogSeconds: number | null;
  /** Film density in that bound. */
  readonly advisedFilmDensity: number;
  /** The test of the other strip of its sheet that it was read together with, so that the sheet counts once. */
  readonly readWithId?: string | null;
  /** Batch of its coating; null when nobody noted it. */
  readonly batchId: string | null;
  readonly humidityPercent: number | null;
  readonly finish: Finish;
}

export interface WantedCombination {
  readonly lamp: Lamp;
  readonly support: Support;
  readonly coating: Coating;
  /** Batch of the coating that will be poured; null where none is kept. */
  readonly batch: Pick<Batch, "id" | "madeOn" | "lot"> | null;
  /** As the lamp finds it. */
  readonly film: LitFilm | null;
  readonly targetShare: number;
  readonly distanceMm: number | null;
  readonly lampHours: number | null;
}

/**
 * What a deeper or lighter share than 90 % adds to log time, from the curves; "not-reached" when none of them gets
 * there.
 */
export type ShareShift = { readonly shiftLogH: number; readonly sigmaLogH: number } | "not-reached";

export interface ExposureInput {
  readonly wanted: WantedCombination;
  /** Tests of one channel, newest first. */
  readonly tests: readonly TimedTest[];
  /** Those of them, and the prints, that count. */
  readonly fit: StudioFit;
  /** Films whose base density is known. */
  readonly knownFilmIds: ReadonlySet<string>;
  readonly shareShift: ShareShift;
  /** When the print is made [ms]. */
  readonly atMs: number;
}
