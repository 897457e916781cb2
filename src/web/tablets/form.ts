// The calibration form: two prints of the tablet, and bare patches of known time, as they were typed.
import type { FieldView } from "#src/web/parts/field-view.ts";
import type { FormWords } from "#src/web/parts/form-errors.ts";
import { durationListOf, numberListOf, textOf, type FormValues } from "#src/web/parts/form-values.ts";

const list = { rows: 2, spellcheck: "false" };

/** Fields of the calibration of a tablet; "{steps}" in a label stands for the number of its steps. */
export const calibrationFields: readonly Omit<FieldView, "id">[] = [
  { name: "time1", kind: "text", label: "Time of the first print", attributes: { placeholder: "4:00" } },
  { name: "densities1", kind: "textarea", label: "What its {steps} steps printed, clearest first", attributes: list },
  {
    name: "time2",
    kind: "text",
    label: "Time of the second print, a stop longer",
    attributes: { placeholder: "8:00" },
  },
  { name: "densities2", kind: "textarea", label: "What its {steps} steps printed then", attributes: list },
  {
    name: "timedTimes",
    kind: "textarea",
    label: "Times of the bare strip beside it (may stay empty)",
    attributes: list,
  },
  {
    name: "timedDensities",
    kind: "textarea",
    label: "What the bare strip printed, in the same order",
    attributes: list,
  },
];

/** Saved tests that stand in for what would be typed. */
export const savedTestFields = ["test1", "test2", "test3"] as const;

/** How the form names what the schema names. */
export const calibrationWords: FormWords = {
  names: [
    [/^exposures\.0\.seconds/, "time1"],
    [/^exposures\.1\.seconds/, "time2"],
    [/^exposures\.1/, "densities2"],
    [/^exposures/, "densities1"],
    [/^timed\.\d+\.density/, "timedDensities"],
    [/^timed/, "timedTimes"],
    [/^testIds/, "test1"],
  ],
  labels: {
    time1: "The time of the first print",
    time2: "The time of the second print",
    densities1: "What the steps printed",
    densities2: "What the steps printed in the second print",
    timedTimes: "The times of the bare strip",
    timedDensities: "What the bare strip printed",
  },
  field: "densities1",
};

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
  const testIds = savedTestFields.map((name) => textOf(values, name)).filter((id) => id !== "");
  return { exposures, timed, testIds };
}
