// How long a lamp burned for the prints that were timed under it.
import type { RunStep } from "#shared/schema/prints.ts";
import { ranSecondsAt, warmUpName } from "./procedure.ts";

/** Steps during which the lamp is on: exposures, and warming up before them. */
export function isLampOn(step: Pick<RunStep, "kind" | "name">): boolean {
  return step.kind === "exposure" || step.name === warmUpName;
}

/**
 * Hours that a lamp burned for timed prints since an instant; a step that still runs or was never timed does not count.
 * @param prints of that lamp
 * @param since instant, ISO 8601; absent counts all
 * @returns hours, 0 or more
 */
export function burnedHours(prints: readonly { readonly steps: readonly RunStep[] }[], since?: string): number {
  const fromMs = since === undefined ? Number.NEGATIVE_INFINITY : Date.parse(since);
  return prints
    .flatMap(({ steps }) => steps)
    .filter((step) => isLampOn(step) && step.endedAt !== null && Date.parse(step.startedAt ?? "") >= fromMs)
    .reduce((sum, step) => sum + ranSecondsAt(step, 0) / 3600, 0);
}
