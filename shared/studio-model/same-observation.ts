// Whether two observations, or two noted changes, say the same, so that only what changed is reckoned and sent anew.
import type { ChangeEvent, Observation, Seen } from "./observation.ts";

/** Whether the model would take both for the same. */
export function isSameObservation(a: Observation, b: Observation): boolean {
  return (
    a.id === b.id &&
    a.lampId === b.lampId &&
    a.supportId === b.supportId &&
    a.coatingId === b.coatingId &&
    a.batchId === b.batchId &&
    a.lampHours === b.lampHours &&
    a.humidityPercent === b.humidityPercent &&
    a.atMs === b.atMs &&
    isSameRecord(a.finish, b.finish) &&
    isSameRecord(a.film, b.film) &&
    isSameRecord(a.distance, b.distance) &&
    isSameRecord(a.tablet, b.tablet) &&
    isSameSeen(a.seen, b.seen)
  );
}

/** Whether both say the same, or are both absent; quick, since thousands are asked after each saved test. */
function isSameRecord<Kind extends object>(a: Kind | null, b: Kind | null): boolean {
  if (a === b) return true;
  if (a === null || b === null) return false;
  for (const key in a) if (a[key] !== b[key]) return false;
  return true;
}

function isSameSeen(a: Seen, b: Seen): boolean {
  if (a.sigma !== b.sigma) return false;
  if (a.kind === "measured") return b.kind === "measured" && a.logSeconds === b.logSeconds;
  return b.kind === "between" && a.lower === b.lower && a.upper === b.upper;
}

/** Whether both noted changes are one and say the same. */
export function isSameEvent(a: ChangeEvent, b: ChangeEvent): boolean {
  return (
    a.id === b.id &&
    a.scope === b.scope &&
    a.scopeId === b.scopeId &&
    a.atMs === b.atMs &&
    a.spread === b.spread &&
    a.isNewLight === b.isNewLight
  );
}
