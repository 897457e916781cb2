// Stands in for the imaging workers where a test is about something else: the same made-up reading for every picture.
import type { ImagingJobName, ImagingPool, InspectedPicture, Preview } from "#src/imaging/jobs.ts";
import type { MeasuredReading } from "#shared/reading/reading-facts.ts";
import type { Reading } from "#shared/schema/reading.ts";
import { errorInWords } from "#shared/words/trouble-words.ts";
import { sampleReading } from "./studios/sample-records.ts";

export interface FakeImaging extends ImagingPool {
  /** Names of the jobs that were asked for, in order. */
  readonly asked: ImagingJobName[];
  /** Under which name each reading's picture was to be kept decoded, in order. */
  readonly keptAs: (string | undefined)[];
}

/** A made-up preview of a strip's picture. */
export const preview = (): Preview => ({
  jpeg: new Uint8Array([0xff, 0xd8]),
  fullWidth: 640,
  fullHeight: 200,
  width: 640,
  height: 200,
});

export function fakeImaging(answers: Partial<Record<ImagingJobName, (job: unknown) => unknown>> = {}): FakeImaging {
  const asked: ImagingJobName[] = [];
  const keptAs: (string | undefined)[] = [];
  return {
    asked,
    keptAs,
    async run(name, job, options) {
      asked.push(name);
      if (name === "measure-reading") keptAs.push(options?.keepAs);
      const answer = answers[name] ?? (name === "inspect-picture" ? inspectedBy(answers.preview) : undefined);
      try {
        if (name === "measure-reading")
          return (await asMeasured((answer?.(job) ?? sampleReading()) as Reading)) as never;
        if (answer !== undefined) return (await answer(job)) as never;
      } catch (error) {
        throw errorInWords(error);
      }
      throw new TypeError(`The fake imaging pool has no answer for "${name}".`);
    },
    async close() {},
  };
}

/** The size that the made-up previews tell, as looking at a file's first bytes tells it. */
function inspectedBy(
  preview: ((job: unknown) => unknown) | undefined,
): ((job: unknown) => InspectedPicture) | undefined {
  if (preview === undefined) return undefined;
  return (job) => {
    const { fullWidth, fullHeight } = preview(job) as Preview;
    return { kind: "jpeg", width: fullWidth, height: fullHeight };
  };
}

/** A made-up reading as a worker gives it; one that was really measured stays as it is. */
async function asMeasured(answer: Reading | MeasuredReading | Promise<Reading | MeasuredReading>) {
  const reading = await answer;
  return typeof reading.image.profile === "string"
    ? { ...reading, image: { ...reading.image, profile: { code: "untagged" } }, warnings: [] }
    : reading;
}
