// How fast a lamp was over its hours, as its tests tell.
import { isDaylight } from "#shared/lamp/daylight.ts";
import { lampAgeing, type LampSpeed } from "#shared/lamp/lamp-ageing.ts";
import type { LookupWarning } from "./lookup-facts.ts";
import type { ExposureInput, TimedTest } from "./lookup-input.ts";

/** Speeds of a lamp over its hours, from the combination that was tested under it at the most different hours. */
export function lampSpeeds(tests: readonly TimedTest[], lampId: string): LampSpeed[] {
  const groups = new Map<string, LampSpeed[]>();
  for (const test of tests) {
    if (test.lampId !== lampId || test.lampHours === null || test.shoulderLogH === null) continue;
    const key = [test.supportId, test.coatingId, test.filmInTest ? test.filmId : "", test.lampDistanceMm ?? ""].join(
      " ",
    );
    const speed = { hours: test.lampHours, logSpeed: -test.shoulderLogH };
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [speed]);
    else group.push(speed);
  }
  const distinct = (speeds: readonly LampSpeed[]): number => new Set(speeds.map((speed) => speed.hours)).size;
  return [...groups.values()].sort((a, b) => distinct(b) - distinct(a))[0] ?? [];
}

/** Whether the lamp's hours ask for a new test. */
export function ageingWarnings({ wanted, tests }: ExposureInput): LookupWarning[] {
  const { lamp, lampHours } = wanted;
  if (isDaylight(lamp.kind)) return [];
  const ageing = lampAgeing(lampSpeeds(tests, lamp.id), lampHours ?? undefined);
  return ageing.shouldRetest ? [{ code: "re-test-lamp", ageing: ageing.finding }] : [];
}
