// The calibration form: two prints of the tablet, and bare patches of known time, as they were typed.
import { durationListOf, numberListOf, textOf, type FormValues } from "#src/web/parts/form-values.ts";

/** What the form says, for the schema to judge. */
export function calibrationFrom(values: FormValues): unknown {
  const exposures = [1, 2].flatMap((print) => {
    const densities = numberListOf(textOf(values, `densities${print}`));
    const [seconds] = durationListOf(textOf(values, `time${print}`), "seconds");
    return densities.length === 0 ? [] : [{ seconds, densities }];
  });
  const times = durationListOf(textOf(values, "timedTimes"), "seconds");
  const timedDensities = numberListOf(textOf(values, "timedDensities"));
  const timed = times.flatMap((seconds, i) => {
    const density = timedDensities[i];
    return density === undefined ? [] : [{ seconds, density }];
  });
  return { exposures, timed };
}
