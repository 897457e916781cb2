// An invented test of one box, paper and coating, of which nothing else is known.
import { unknownFinish, type Observation } from "#shared/studio-model/observation.ts";

export function plainObservation(
  changes: Pick<Observation, "id" | "atMs" | "seen"> & Partial<Observation>,
): Observation {
  return {
    lampId: "box",
    supportId: "paper",
    coatingId: "blue",
    batchId: null,
    film: null,
    distance: null,
    lampHours: null,
    humidityPercent: null,
    finish: unknownFinish,
    tablet: null,
    ...changes,
  };
}
