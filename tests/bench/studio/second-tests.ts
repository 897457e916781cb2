// Bad first tests, far too short or far too long: is the test that the advice asks for next a good one?
import { assessTest } from "#shared/advice/assess-test.ts";
import { measuredReading, tablet21, testRequest } from "../../support/studios/synthetic-test.ts";
import {
  seededRandom,
  shapeNames,
  simulatedCoating,
  simulatedSteps,
  trueLogHAtShare,
  type TabletPlan,
} from "./simulated-tests.ts";

export interface SecondTest {
  readonly seed: number;
  readonly firstVerdict: string;
  /** Whether the first answer, if it told no time, asked for a test that told one. */
  readonly isGood: boolean;
  readonly secondVerdict: string;
}

const plan: TabletPlan = { name: "21 steps", steps: 21, increment: 0.15, sigmaLogH: 0.015 };

/**
 * A first test whose clearest step lies 2.4 log H short of the shoulder to 0.1 beyond it, or whose densest is past it.
 */
export function simulatedSecondTest(seed: number): SecondTest {
  const random = seededRandom(seed);
  const coating = simulatedCoating(random, shapeNames[seed % shapeNames.length]!);
  const shoulder = trueLogHAtShare(coating, 0.9);
  const isLong = random.uniform() < 0.2;
  const top = isLong ? 3 + 0.15 + 0.8 * random.uniform() : 0.1 - 1.6 * random.uniform();
  const scatter = { independent: 0.004 + 0.01 * random.uniform(), wave: 0.012 * random.uniform(), memory: 0.6 };
  const assess = (seconds: number) => {
    const steps = simulatedSteps({ random, coating, plan, logSeconds: Math.log10(seconds), scatter, sigma: 0.006 });
    return assessTest({
      // The coatings are made up, and some want longer than any request may ask for.
      request: { ...testRequest({ tablet: tablet21, exposureSeconds: 1 }), exposureSeconds: seconds },
      reading: measuredReading(
        tablet21,
        steps.map((step) => step.density),
      ),
      filmDensity: null,
    }).exposure;
  };
  const first = assess(10 ** (shoulder + top + 0.05));
  if (first.nextTestSeconds === null)
    return { seed, firstVerdict: first.verdict, isGood: first.verdict === "ok", secondVerdict: "none asked" };
  // The surer of the lengths that are offered.
  const second = assess(first.nextTests?.at(-1)?.seconds ?? first.nextTestSeconds);
  return { seed, firstVerdict: first.verdict, isGood: second.verdict === "ok", secondVerdict: second.verdict };
}

/** Share of bad first tests whose second test is good, in percent, with the counts behind it. */
export function secondTestReport({ count, firstSeed }: { count: number; firstSeed: number }): {
  bad: number;
  good: number;
  goodPercent: number;
  verdicts: Record<string, number>;
} {
  const all = Array.from({ length: count }, (_, i) => simulatedSecondTest(firstSeed + i));
  const bad = all.filter((test) => test.secondVerdict !== "none asked");
  const good = bad.filter((test) => test.isGood).length;
  const verdicts: Record<string, number> = {};
  for (const test of bad) {
    const key = `${test.firstVerdict}, then ${test.secondVerdict}`;
    verdicts[key] = (verdicts[key] ?? 0) + 1;
  }
  return { bad: bad.length, good, goodPercent: (100 * good) / bad.length, verdicts };
}
