// The characteristic curve and the advice drawn from it, as the contract carries them.
import type { Warning } from "./reading.ts";

export type Channel = "red" | "visual";

export interface CurvePoint {
  /** log10 of relative exposure: seconds through clear air, under this test's lamp. */
  readonly logH: number;
  /** Above unexposed paper. */
  readonly density: number;
}

export interface CurveSample extends CurvePoint {
  /** 95 % confidence band of the fitted curve. */
  readonly lower: number;
  readonly upper: number;
}

/** One measured step as the fit saw it. */
export interface FittedStep extends CurvePoint {
  readonly index: number;
  /** Standard uncertainty of `density`. */
  readonly sigma: number;
  /** Why the fit left this step out, or null. */
  readonly leftOut: "reversal" | "wild" | "flagged" | null;
}

/** What makes a range wide. */
export type RangeSource =
  /** Reading and coating, from step to step. */
  | "steps"
  /** The tablet, each step about the others. */
  | "tablet-steps"
  /** The tablet as a whole: its scale and clear base in the light of the test. */
  | "tablet-scale-and-base"
  /** The coating's slow change along the strip. */
  | "coating-gradient"
  /** Tone curve and stray light of an unchecked camera. */
  | "camera"
  /** Not knowing the true shape of the curve. */
  | "curve-shape"
  /** The clear film of the negative. */
  | "film-base"
  /** What one print differs from the next. */
  | "print-to-print";

/** How well the log exposure at a share of the net density is known. */
export interface ShareSigma {
  readonly share: number;
  /**
   * log10 of relative exposure there, camera and coating allowed for; absent in curves of older versions, null beyond
   * the measured steps.
   */
  readonly logH?: number | null;
  /** Standard uncertainty; null where it is not known. */
  readonly sigmaLogH: number | null;
  /** What it is made of: variances [log10 squared], by source. */
  readonly variances?: readonly { readonly source: RangeSource; readonly variance: number }[];
}

export interface Curve {
  readonly channel: Channel;
  /** The shape that the data supports best; the curve itself averages all shapes by their support. */
  readonly family: "symmetric-sigmoid" | "asymmetric-sigmoid" | "monotone-smooth";
  readonly dMin: number;
  readonly dMax: number;
  /** ISO 6846-style points; null where the data does not reach. */
  readonly points: {
    readonly toe: CurvePoint | null;
    readonly mid: CurvePoint | null;
    readonly shoulder: CurvePoint | null;
  };
  readonly logExposureRange: number | null;
  readonly averageGradient: number | null;
  /** Rising logH over the measured range (never silently beyond). */
  readonly samples: readonly CurveSample[];
  readonly steps: readonly FittedStep[];
  /** Standard uncertainty of the shoulder's logH, and of the toe's; null where absent. */
  readonly sigmaLogH: { readonly toe: number | null; readonly shoulder: number | null };
  /** Standard uncertainty of logH at rising shares of the net density; null where it is not known. */
  readonly shareSigmas: readonly ShareSigma[];
  /**
   * The same for shares of what the most exposed step reached, a lower bound that needs no deepest blue; absent in
   * curves of older versions.
   */
  readonly reachedSigmas?: readonly ShareSigma[];
  /** Family parameters with their covariance (row-major), empty for monotone-smooth. */
  readonly parameters: readonly number[];
  readonly covariance: readonly (readonly number[])[];
  /** Standard deviation of the steps about the curve. */
  readonly residualDensity: number;
  /** For Student's factor of the 95 % ranges. */
  readonly degreesOfFreedom: number;
  /**
   * How steeply the coating changes along the sheet, from its middle to an end, as two strips head to tail showed it;
   * absent where one strip was read.
   */
  readonly coatingSlope?: { readonly share: number; readonly sigmaShare: number; readonly isBeside?: boolean };
  /** Where over-exposure begins to take density away again, or null when no fall was found. */
  readonly reversalFromLogH: number | null;
}

export type Verdict = "ok" | "test-too-short" | "test-too-long" | "reversal" | "unreliable";

/** Seconds for one depth of blue, and what it falls short of the deepest. */
export interface DepthRow {
  /** A share of net D-max, or the depth within 1 L* of the maximum, beyond which the eye sees no deeper blue. */
  readonly kind: "share" | "no-deeper-to-the-eye";
  /** Share (0-1) of net D-max. */
  readonly share: number;
  /** Null where the strip does not show this depth; with the 95 % range of this calibration. */
  readonly seconds: number | null;
  readonly lowerSeconds: number | null;
  readonly upperSeconds: number | null;
  /** L* lighter than the deepest blue. */
  readonly lightnessMissing: number;
}

/** The time at which an uncorrected negative loses equally much at both ends. */
export interface Compromise {
  readonly seconds: number;
  /** L* by which its clearest parts stay lighter than the deepest blue. */
  readonly darkLightnessLost: number;
  /** L* by which its densest parts come out darker than paper white. */
  readonly lightLightnessLost: number;
}

export interface ExposureAdvice {
  /**
   * Shortest time that carries clear film to the shoulder; null when it cannot be told.
   * Then `lowerSeconds` alone means "longer than this", `upperSeconds` alone "shorter than this".
   */
  readonly seconds: number | null;
  readonly lowerSeconds: number | null;
  readonly upperSeconds: number | null;
  /** Share of net D-max that the shoulder stands for (0.90 unless asked otherwise). */
  readonly targetShare: number;
  /** Density of the clear film that the time is for. */
  readonly filmDensity: number;
  readonly verdict: Verdict;
  /** Time for the next test when this one was too short or too long; null otherwise. */
  readonly nextTestSeconds: number | null;
  /** 95 % range of the next print made alike; absent in answers of older versions, null where no time is given. */
  readonly nextPrint?: { readonly lowerSeconds: number; readonly upperSeconds: number } | null;
  /** What makes the ranges wide, largest first: half width in stops of the range that each source alone would leave. */
  readonly budget?: readonly { readonly source: RangeSource; readonly stops: number }[];
  /** What more time buys; empty where no time is given, absent in answers of older versions. */
  readonly depths?: readonly DepthRow[];
  /** For the film's own range without a correction, where it does not suit the coating; null otherwise. */
  readonly compromise?: Compromise | null;
  /**
   * After a test that told no time: lengths to try, the likely first one, then the sure one, each with its chance
   * (0-1).
   */
  readonly nextTests?: readonly { readonly seconds: number; readonly chance: number }[];
  /** Plain sentences: why this time, why this verdict, what to do next. */
  readonly reasons: readonly string[];
}

/** What one reading and the way it was exposed lead to. */
export interface Assessment {
  readonly curve: Curve | null;
  readonly exposure: ExposureAdvice;
  /** Everything to say about the test: the reading's own warnings, then those of the assessment. */
  readonly warnings: readonly Warning[];
}
