// How long for this lamp, support, coating and film, from everything that was ever tested.
import { logHAtShare } from "#shared/curve/curve-at.ts";
import { filmInLight } from "#shared/film/film-in-light.ts";
import { nextBestTests, type NextBestTests } from "#shared/lookup/next-best-tests.ts";
import { exposureForCombination } from "#shared/lookup/exposure-for-combination.ts";
import type { ShareShift } from "#shared/lookup/lookup-input.ts";
import type { ExposureFinding } from "#shared/lookup/lookup-facts.ts";
import { exposureInWords } from "#shared/words/tests/lookup-words.ts";
import { shoulderShare } from "#shared/limits.ts";
import type { Channel, Curve } from "#shared/schema/curve.ts";
import type { ExposureAnswer, ExposureQuery } from "#shared/schema/exposures.ts";
import type { StoreReader } from "#src/store/store.ts";
import { studioModel } from "./studio-model.ts";
import type { Tools } from "./tools.ts";
import { wantedCombination } from "./wanted-combination.ts";

/**
 * Advice for a combination, with its source and provenance.
 *
 * @throws InputError "bad-request" that names the id which is not there
 */
export function lookUpExposure({ store }: Pick<Tools, "store">, query: ExposureQuery): ExposureAnswer {
  const wanted = wantedCombination(store, query);
  const lamps = store.lamps.list({ archived: true });
  const knownFilmIds = new Set(
    store.films
      .list({ archived: true })
      .flatMap((each) => (filmInLight(each, wanted.lamp, lamps).baseDensity == null ? [] : [each.id])),
  );
  const answerFor = (channel: Channel, shareShift: ShareShift): ExposureFinding =>
    exposureForCombination({ wanted, ...studioModel(store, channel), knownFilmIds, shareShift, atMs: Date.now() });
  // Times are judged by the red channel; the visual one speaks only where red knows nothing better.
  let channel: Channel = "red";
  let answer = answerFor(channel, noShift);
  if ((answer.source === "predicted" || answer.source === "unknown") && store.tests.listTimed("visual", 1).length > 0) {
    const visual = answerFor("visual", noShift);
    if (rank(visual) < rank(answer)) [channel, answer] = ["visual", visual];
  }
  if (query.share === shoulderShare) return exposureInWords(answer);
  return exposureInWords(answerFor(channel, shareShift(store, answer, query.share)));
}

/** How deep the studio prints a coating, as a share of net D-max. */
export function depthOfCoating(store: Pick<StoreReader, "coatings">, coatingId: string): number {
  return store.coatings.find(coatingId)?.targetShare ?? shoulderShare;
}

/** Which tests would narrow a time most; null where there is no time to narrow. */
export function findNextBestTests({ store }: Pick<Tools, "store">, query: ExposureQuery): NextBestTests | null {
  const model = studioModel(store, "red");
  return nextBestTests({ wanted: wantedCombination(store, query), ...model, atMs: Date.now() });
}

/** Whether tests of a combination contradict each other, so that nobody should print by any time of it. */
export function doTestsDisagree(
  tools: Pick<Tools, "store">,
  query: Pick<ExposureQuery, "lampId" | "supportId" | "coatingId" | "filmId">,
): boolean {
  return lookUpExposure(tools, { ...query, share: shoulderShare }).warnings.some(
    ({ code }) => code === "tests-disagree",
  );
}

const noShift = { shiftLogH: 0, sigmaLogH: 0 };

function rank(answer: ExposureFinding): number {
  return ["tested", "pooled", "transferred", "predicted", "unknown"].indexOf(answer.source);
}

/**
 * log H at a share less log H at 90 %, from the curve of the newest test that reaches it, with what that adds to the
 * doubt.
 */
function shareShift(store: Tools["store"], answer: ExposureFinding, share: number): ShareShift {
  for (const id of answer.testIds) {
    const curve = store.tests.find(id)?.curve;
    if (!curve?.points.shoulder) continue;
    const logH = logHAtShare(curve, share);
    const kept = logHAtShare(curve, shoulderShare);
    if (logH === null || kept === null) continue;
    const [sigma, keptSigma] = [sigmaAtShare(curve, share), sigmaAtShare(curve, shoulderShare)];
    return { shiftLogH: logH - kept, sigmaLogH: Math.sqrt(Math.max(0, sigma ** 2 - keptSigma ** 2)) };
  }
  return share < shoulderShare ? noShift : "not-reached";
}

/** Standard uncertainty of log H at a share; that of the shoulder where the curve does not say. */
function sigmaAtShare({ shareSigmas, sigmaLogH }: Curve, share: number): number {
  const known = shareSigmas.flatMap((each) =>
    each.sigmaLogH === null ? [] : [{ share: each.share, sigma: each.sigmaLogH }],
  );
  const above = known.find((each) => each.share >= share - 1e-9) ?? known.at(-1);
  return above?.sigma ?? sigmaLogH.shoulder ?? 0;
}
