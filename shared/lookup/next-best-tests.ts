// Which test would narrow a time most: what the model expects of each before anybody makes it.
import { isDaylight } from "#shared/lamp/daylight.ts";
import { predictTime, sigmaAfterTest } from "#shared/studio-model/predict.ts";
import type { Circumstances } from "#shared/studio-model/observation.ts";
import { rangeSigmas } from "#shared/statistics/normal-distribution.ts";
import { stopsFromLogH } from "#shared/units/stops.ts";
import type { ExposureInput } from "./lookup-input.ts";
import { circumstancesOf } from "./studio-observations.ts";

/** What a test is made of, beside the light. */
interface TestToMake {
  readonly supportId: string;
  readonly coatingId: string;
}

interface ExpectedGain extends TestToMake {
  /** 95 % half-range of the time after it [stops]. */
  readonly halfStops: number;
}

export interface NextBestTests {
  /** 95 % half-range of the time now [stops]. */
  readonly halfStops: number;
  /** The best first. */
  readonly gains: readonly ExpectedGain[];
}

/** What a good tablet test measures [log10, standard uncertainty]. common practice, no source */
const testSigma = 0.03;
/** Candidates that are weighed. */
const mostCandidates = 8;

/**
 * Tests under the same light that could be made for a time, by what each would leave of its range: one of the
 * combination itself, and of those that share its coating or its support.
 * @returns null for the sun, whose times are not the model's
 * Source: Lindley1956 (information of an experiment).
 */
export function nextBestTests(input: Omit<ExposureInput, "shareShift" | "knownFilmIds">): NextBestTests | null {
  const { wanted, fit } = input;
  if (isDaylight(wanted.lamp.kind)) return null;
  const of = circumstancesOf(input);
  const bare: Circumstances = { ...of, film: null };
  const halfStops = stopsFromLogH(rangeSigmas * predictTime(fit, of).sigma);
  const gains = candidates(input).map(({ supportId, coatingId }) => {
    const isOther = coatingId !== of.coatingId;
    const test = { ...bare, supportId, coatingId, batchId: isOther ? null : of.batchId };
    return { supportId, coatingId, halfStops: stopsFromLogH(rangeSigmas * sigmaAfterTest(fit, of, test, testSigma)) };
  });
  return { halfStops, gains: gains.sort((a, b) => a.halfStops - b.halfStops) };
}

function candidates({ wanted, fit }: Pick<ExposureInput, "wanted" | "fit">): TestToMake[] {
  const own = { supportId: wanted.support.id, coatingId: wanted.coating.id };
  const known = new Map<string, TestToMake>();
  for (const { supportId, coatingId } of fit.observations) {
    const isNear = (supportId === own.supportId) !== (coatingId === own.coatingId);
    if (isNear && known.size < mostCandidates) known.set(`${supportId} ${coatingId}`, { supportId, coatingId });
  }
  return [own, ...known.values()];
}
