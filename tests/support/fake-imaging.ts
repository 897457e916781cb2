// Stands in for the imaging workers where a test is about something else: the same made-up reading for every picture.
import type { ImagingJobName, ImagingPool } from "#src/imaging/jobs.ts";
import { sampleReading } from "./sample-records.ts";

export interface FakeImaging extends ImagingPool {
  /** Names of the jobs that were asked for, in order. */
  readonly asked: ImagingJobName[];
}

export function fakeImaging(answers: Partial<Record<ImagingJobName, (job: unknown) => unknown>> = {}): FakeImaging {
  const asked: ImagingJobName[] = [];
  return {
    asked,
    async run(name, job) {
      asked.push(name);
      const answer = answers[name];
      if (answer !== undefined) return answer(job) as never;
      if (name === "measure-reading") return sampleReading() as never;
      throw new TypeError(`The fake imaging pool has no answer for "${name}".`);
    },
    async close() {},
  };
}
