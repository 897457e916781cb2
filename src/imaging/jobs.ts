// What can be asked of the imaging workers. The studio speaks only to this interface.
import type { PictureGlance } from "#shared/reading/picture-glance.ts";
import type { MeasuredReading, SeveralPictures } from "#shared/reading/reading-facts.ts";
import type { ReadingRequest } from "#shared/schema/reading.ts";
import type { Decoded } from "./decode/decode.ts";
import type { PictureKind } from "./decode/picture-kind.ts";
import type { Field, FieldJob } from "./measure-field.ts";
import type { MeasuredSpots, SpotsJob } from "./measure-spots.ts";
import type { DrawnSheet, SheetDrawing } from "./draw-sheet.ts";
import type { InkSheetJob, MeasuredInkSheet } from "./sheet/measure-sheet.ts";
import type { MadeNegative, NegativeJob } from "./negative/draw-negative.ts";

export interface ReadingJob {
  /** The file as it came. */
  readonly picture: Uint8Array;
  readonly request: ReadingRequest;
  /** Optional second picture: a plain sheet in the same place under the same light. */
  readonly evenLight?: Uint8Array | undefined;
}

/** What a file's first bytes say. */
export interface InspectedPicture {
  readonly kind: PictureKind;
  /** Size when upright, pixels. */
  readonly width: number;
  readonly height: number;
}

export interface PreviewJob {
  readonly picture: Uint8Array;
  /** Longest side of the answer in pixels; never enlarged. */
  readonly maxSidePx: number;
  /** Asks for a glance at the small picture too. */
  readonly isLookedAt?: boolean;
}

export interface Preview {
  readonly jpeg: Uint8Array;
  /** Size of the full picture when upright, pixels. */
  readonly fullWidth: number;
  readonly fullHeight: number;
  readonly width: number;
  readonly height: number;
  /** Said where the file holds more pictures than the one shown. */
  readonly several?: SeveralPictures;
  /** What the small picture shows at a glance; absent when nobody asked. */
  readonly glance?: PictureGlance;
}

/** Every job by name: what it takes and what it gives. A new kind of job is one line here and one in worker.ts. */
export interface ImagingJobs {
  "measure-reading": { takes: ReadingJob; gives: MeasuredReading };
  "inspect-picture": { takes: { readonly picture: Uint8Array }; gives: InspectedPicture };
  preview: { takes: PreviewJob; gives: Preview };
  "measure-ink-sheet": { takes: InkSheetJob; gives: MeasuredInkSheet };
  "measure-spots": { takes: SpotsJob; gives: MeasuredSpots };
  "measure-field": { takes: FieldJob; gives: Field };
  "draw-sheet": { takes: SheetDrawing; gives: DrawnSheet };
  "draw-negative": { takes: NegativeJob; gives: MadeNegative };
  "paint-drawing": { takes: { readonly svg: string }; gives: { readonly png: Uint8Array } };
}

export type ImagingJobName = keyof ImagingJobs;

export interface ImagingRunOptions {
  readonly signal?: AbortSignal | undefined;
  /** Told how much is done, 0-1. */
  readonly onProgress?: ((share: number) => void) | undefined;
  /**
   * Names the content of the job's picture, and keeps it decoded for a short while: the next run under this name need
   * not decode it again.
   */
  readonly keepAs?: string | undefined;
}

/** What a job finds round it while it runs. */
export interface JobContext {
  /** Tells the waiting side how much is done, 0-1. */
  readonly onProgress: (share: number) => void;
  /** The job's picture, when it was decoded before. */
  readonly kept?: Decoded;
  /** Hands the decoded picture, in shared memory, to whoever measures it next; absent when nobody is expected to. */
  readonly keep?: (decoded: Decoded) => void;
}

export interface ImagingPool {
  /** Runs one job in a worker thread. Rejects with InputError for a bad picture, "busy" when too much waits. */
  run<Name extends ImagingJobName>(
    name: Name,
    job: ImagingJobs[Name]["takes"],
    options?: ImagingRunOptions,
  ): Promise<ImagingJobs[Name]["gives"]>;
  close(): Promise<void>;
}
