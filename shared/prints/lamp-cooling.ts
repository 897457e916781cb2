// How long a lamp has to cool after the exposures that were timed under it. It cools while the print is in its baths.
import type { RunStep } from "#shared/schema/prints.ts";
import { isLampOn } from "./burned-hours.ts";

export interface LampCooling {
  /** When the lamp went out [ms since 1970]. */
  readonly sinceMs: number;
  /** Time that it is to cool from then on [s]. */
  readonly seconds: number;
}

interface TimedPrint {
  readonly steps: readonly RunStep[];
  readonly coolDownSeconds: number;
}

/**
 * The cooling of a lamp that ends last.
 * @param prints of that lamp
 * @param nowMs instant [ms since 1970]
 * @returns null when it is cool, burns at the moment, or its prints ask for no cooling
 */
export function lampCooling(prints: readonly TimedPrint[], nowMs: number): LampCooling | null {
  const burning = prints.some(({ steps }) => steps.some((step) => isLampOn(step) && isUnderWay(step)));
  if (burning) return null;
  const endOf = ({ sinceMs, seconds }: LampCooling): number => sinceMs + seconds * 1000;
  return (
    prints
      .flatMap((print) => coolingAfter(print) ?? [])
      .filter((cooling) => endOf(cooling) > nowMs)
      .sort((a, b) => endOf(b) - endOf(a))[0] ?? null
  );
}

function isUnderWay({ startedAt, endedAt }: RunStep): boolean {
  return startedAt !== null && endedAt === null;
}

/** From the end of a print's last exposure on; a rest between its parts is a step of its own. */
function coolingAfter({ steps, coolDownSeconds }: TimedPrint): LampCooling | null {
  const lit = steps.filter(isLampOn);
  const ends = lit.flatMap(({ endedAt }) => (endedAt === null ? [] : [Date.parse(endedAt)]));
  if (coolDownSeconds === 0 || lit.length === 0 || ends.length < lit.length) return null;
  return { sinceMs: Math.max(...ends), seconds: coolDownSeconds };
}
