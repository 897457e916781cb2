// The form of a new print, filled with a combination and its time.

/** A time to print by. */
export interface AdvisedTime {
  readonly seconds: number;
  /** Range of the next print; null where it is not known. */
  readonly lowerSeconds: number | null;
  readonly upperSeconds: number | null;
}

/** Of a time whose range nobody can tell. */
export const rangeUnknown = { lowerSeconds: null, upperSeconds: null } as const;

interface ChosenMaterials {
  readonly lampId: string;
  readonly supportId: string;
  readonly coatingId: string;
  readonly filmId?: string | null | undefined;
}

/** What the form carries, unseen, of a time that was advised. */
export function advisedFields({ seconds, lowerSeconds, upperSeconds }: AdvisedTime): Readonly<Record<string, string>> {
  return {
    advisedSeconds: String(seconds),
    ...(lowerSeconds === null || upperSeconds === null
      ? {}
      : { advisedLowerSeconds: String(lowerSeconds), advisedUpperSeconds: String(upperSeconds) }),
  };
}

/** Query of the form's page. */
export function runSheetQuery({ lampId, supportId, coatingId, filmId }: ChosenMaterials, time: AdvisedTime): string {
  return new URLSearchParams({
    lampId,
    supportId,
    coatingId,
    ...(filmId == null ? {} : { filmId }),
    exposureSeconds: String(Math.round(time.seconds)),
    ...advisedFields(time),
  }).toString();
}
