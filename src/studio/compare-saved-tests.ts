import { filmInLight } from "#shared/film/film-in-light.ts";
import { compareTests, type TestToCompare } from "#shared/lookup/compare-tests.ts";
import { circumstancesOf } from "#shared/lookup/studio-observations.ts";
import { shoulderShare } from "#shared/limits.ts";
import type { Comparison, ComparisonRequest, PooledTime } from "#shared/schema/comparisons.ts";
import type { Channel } from "#shared/schema/curve.ts";
import { densityScaleOf } from "#shared/reading/density-scale.ts";
import type { ReadingStep } from "#shared/schema/reading.ts";
import type { Circumstances } from "#shared/studio-model/observation.ts";
import { predictTime } from "#shared/studio-model/predict.ts";
import { predictRatio } from "#shared/studio-model/predict-ratio.ts";
import { pairInWords } from "#shared/words/tests/comparison-words.ts";
import { refusal } from "#shared/words/refusal-words.ts";
import { doTestsDisagree } from "./look-up-exposure.ts";
import { printSpreadOf, studioModel } from "./studio-model.ts";
import type { Tools } from "./tools.ts";

/**
 * Compares saved tests pairwise.
 *
 * @throws InputError "bad-request" for a test that is not there
 */
export function compareSavedTests({ store }: Pick<Tools, "store">, { testIds }: ComparisonRequest): Comparison {
  const lamps = store.lamps.list({ archived: true });
  const tests = testIds.map((id) => {
    const test = store.tests.find(id);
    if (test === undefined) throw refusal("bad-request", { code: "no-such-test", id }, { field: "testIds" });
    const { request } = test;
    const [lamp, support, coating] = [
      store.lamps.get(request.lampId),
      store.supports.get(request.supportId),
      store.coatings.get(request.coatingId),
    ];
    const film = request.filmId == null ? null : filmInLight(store.films.get(request.filmId), lamp, lamps);
    return {
      id,
      name: request.name,
      lamp: { id: lamp.id, name: lamp.name },
      support: { id: support.id, name: support.name },
      coating: { id: coating.id, name: coating.name },
      film:
        film === null
          ? null
          : {
              id: film.id,
              name: film.name,
              baseDensity: film.baseDensity ?? null,
              baseSigmaDensity: film.baseSigmaDensity ?? 0,
            },
      channel: request.channel,
      filmInTest: request.filmInTest || request.tablet.kind === "levels" || request.tablet.kind === "sheet",
      madeAt: request.madeAt ?? request.sun?.startedAt ?? test.createdAt,
      isUnderSun: request.sun !== undefined && request.sun !== null,
      hasTime: test.exposure.seconds !== null,
      curve: test.curve,
      cameraSigma: cameraSigmaOfDeepest(test.reading.steps, request.channel),
      densityScale: densityScaleOf(test.reading, request.channel),
      isToneUnknown: test.reading.camera?.by === "assumption",
      printSpread: printSpreadOf(store, request.channel),
    };
  });
  const { tests: compared, pairs } = compareTests(tests);
  const isDisputed = ({ isUnderSun, lamp, support, coating }: TestToCompare): boolean =>
    !isUnderSun && doTestsDisagree({ store }, { lampId: lamp.id, supportId: support.id, coatingId: coating.id });
  // A lookup for each test, not for each of their many pairs.
  const disputed = new Set(tests.filter(isDisputed).map(({ id }) => id));
  const testOf = new Map(tests.map((test) => [test.id, test]));
  return {
    tests: compared,
    pairs: pairs.map((pair) => {
      const [first, second] = [testOf.get(pair.firstId)!, testOf.get(pair.secondId)!];
      const both = isOfOneCombination(first, second) ? [first] : [first, second];
      const disputes = both
        .filter(({ id }) => disputed.has(id))
        .map(({ support, coating }) => ({
          code: "tests-disagree" as const,
          supportName: support.name,
          coatingName: coating.name,
        }));
      const warnings = [...disputes, ...pair.warnings];
      return pairInWords({ ...pair, warnings }, first, second, pooledTime(store, first, second));
    }),
  };
}

/**
 * What the camera may have done to the deepest of the steps [density of the channel]: to visual density in proportion.
 */
function cameraSigmaOfDeepest(steps: readonly ReadingStep[], channel: Channel): number {
  const trusted = steps.filter(({ flags }) => !flags.includes("left-out"));
  const [first, ...others] = trusted;
  if (first === undefined) return 0;
  const { cameraSigma = 0, red, visual } = others.reduce((most, step) => (step.red > most.red ? step : most), first);
  if (channel === "red" || red <= 0) return cameraSigma;
  return (cameraSigma * Math.max(0, visual)) / red;
}

type Materials = Pick<TestToCompare, "lamp" | "support" | "coating" | "channel" | "isUnderSun">;

function isOfOneCombination(first: Materials, second: Materials): boolean {
  return (["lamp", "support", "coating"] as const).every((kind) => first[kind].id === second[kind].id);
}

/**
 * Time of the second's bare coating over the first's by all tests of both.
 * @returns null where both are of the same materials, neither was tested again, or the sun changed between them
 */
function pooledTime(store: Tools["store"], first: Materials, second: Materials): Omit<PooledTime, "sentence"> | null {
  if (isOfOneCombination(first, second) || first.channel !== second.channel || first.isUnderSun || second.isUnderSun)
    return null;
  const { fit, tests } = studioModel(store, first.channel);
  const countOf = (of: Materials): number =>
    fit.observations.filter(
      ({ lampId, supportId, coatingId, seen }) =>
        seen.kind === "measured" && lampId === of.lamp.id && supportId === of.support.id && coatingId === of.coating.id,
    ).length;
  const [firstTests, secondTests] = [countOf(first), countOf(second)];
  if (Math.min(firstTests, secondTests) < 1 || Math.max(firstTests, secondTests) < 2) return null;
  const atMs = Date.now();
  const bare = (of: Materials): Circumstances =>
    circumstancesOf({
      wanted: {
        lamp: store.lamps.get(of.lamp.id),
        support: store.supports.get(of.support.id),
        coating: store.coatings.get(of.coating.id),
        batch: null,
        film: null,
        targetShare: shoulderShare,
        distanceMm: null,
        lampHours: null,
      },
      tests,
      atMs,
    });
  const [ofFirst, ofSecond] = [bare(first), bare(second)];
  const { logSeconds, lower, upper } = predictRatio(fit, ofSecond, ofFirst);
  const firstLogSeconds = predictTime(fit, ofFirst).calibration.logSeconds;
  return {
    timeRatio: { value: 10 ** logSeconds, lower: 10 ** lower, upper: 10 ** upper },
    firstSeconds: 10 ** firstLogSeconds,
    secondSeconds: 10 ** (firstLogSeconds + logSeconds),
    firstTests,
    secondTests,
  };
}
