// Alarms of one combination tested again and again: is a change seen, does it cry wolf.
import { noticedWithKnownScatter, noticedWithUnknownScatter, type Noticed } from "./noticed-at-best.ts";
import { streamOf } from "./studio-model-outcome.ts";
import type { Print } from "../main.ts";

export const title = "the studio's model: changes, false alarms";

/** Reporting seeds; tuning was done below 10,000. */
const firstSeed = 880_000;
const streamsEach = 200;
/** Of these without a change: a share of one in twenty is told by more. */
const quietEach = 400;
const scatters = [0.01, 0.02, 0.03, 0.05];
const halfStop = 0.5 * Math.log10(2);

export async function run(print: Print): Promise<void> {
  print(
    `One combination again and again, ${quietEach} quiet and ${streamsEach} changed streams each, seeds from ` +
      `${firstSeed}; a change of half a stop ` +
      "before the seventh test; at best: by any rule that cries wolf in 5 % of 20-test streams, alike after each test.",
  );
  for (const isStudioKnown of [false, true]) {
    for (const printScatter of scatters) {
      for (const tails of ["normal", "heavy"] as const) reportStreams(print, { printScatter, tails, isStudioKnown });
    }
  }
}

interface Streams {
  readonly printScatter: number;
  readonly tails: "normal" | "heavy";
  readonly isStudioKnown: boolean;
}

function reportStreams(print: Print, { printScatter, tails, isStudioKnown }: Streams): void {
  const seeds = Array.from({ length: streamsEach }, (_, i) => firstSeed + i);
  const plan = { printScatter, tails, isStudioKnown };
  const quiet = Array.from({ length: quietEach }, (_, i) => streamOf({ ...plan, seed: firstSeed + i, tests: 20 }));
  const changed = seeds.map((seed, i) =>
    streamOf({
      ...plan,
      seed,
      tests: 9,
      changeAt: 7,
      change: i % 2 ? halfStop : -halfStop,
      from: 7,
      timedAt: isStudioKnown ? 0 : 8,
    }),
  );
  const share = (count: number): string => percent(count / streamsEach);
  const quietShare = (count: number): string => percent(count / quietEach);
  const best = bounds(printScatter)[isStudioKnown ? "known" : "unknown"];
  print(
    `scatter ${printScatter.toFixed(2)}, ${tails.padEnd(6)} tails` +
      `${isStudioKnown ? ", told by other tests" : ""}: false alarm in 20 tests ` +
      `${quietShare(quiet.filter(({ alarms }) => alarms.length > 0).length)} (goal 5 %), ` +
      `of a change alone ${quietShare(quiet.filter(({ doubts }) => doubts.length > 0).length)} | noticed at once ` +
      `${share(changed.filter(({ alarms }) => alarms.includes(7)).length)} (at best ${percent(best.atOnce)}), ` +
      `within three ${share(changed.filter(({ alarms }) => alarms.length > 0).length)} ` +
      `(at best ${percent(best.withinThree)})` +
      (isStudioKnown
        ? ""
        : ` | within 0.15 stop after two ` +
          share(changed.filter(({ error }) => Math.abs(error) < 0.15 * Math.log10(2)).length)),
  );
}

/**
 * What no rule could pass after six tests, if 5 % of 20-test streams may cry wolf: told the scatter by other tests, and
 * told nothing of it.
 */
function bounds(printScatter: number): { readonly known: Noticed; readonly unknown: Noticed } {
  const change = { printScatter, step: halfStop, before: 6 };
  return { known: noticedWithKnownScatter(change), unknown: noticedWithUnknownScatter(change, scatters) };
}

function percent(share: number): string {
  return `${(100 * share).toFixed(1)} %`;
}
