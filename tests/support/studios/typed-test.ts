// The new-test form as someone filled it in, and an app whose imaging answers at once.
import type { Preview } from "#src/imaging/jobs.ts";
import { fakeImaging } from "../fake-imaging.ts";
import { sampleReading } from "./sample-records.ts";
import { testApp } from "../test-app.ts";

export const preview = (): Preview => ({
  jpeg: new Uint8Array([0xff, 0xd8, 0xff, 0xd9]),
  fullWidth: 600,
  fullHeight: 200,
  width: 320,
  height: 107,
});

export function appWith(measure: (job: unknown) => unknown = sampleReading) {
  return testApp({ imaging: fakeImaging({ preview, "measure-reading": measure }) });
}

export const typed = {
  tabletChoice: "even-other",
  steps: "5",
  increment: "0.3",
  firstDensity: "0.05",
  newLampName: "Box",
  newSupportName: "Paper",
  newCoatingName: "Blue",
  exposureMinutes: "8",
  exposureSecondsPart: "0",
  notes: "kept word for word",
};
