import { numberOf, type FormValues } from "#src/web/parts/form-values.ts";

/** What the calibration said, carried through the form. */
export function adviceFrom(values: FormValues): { seconds: number; lowerSeconds: number; upperSeconds: number } | null {
  const [seconds, lowerSeconds, upperSeconds] = ["advisedSeconds", "advisedLowerSeconds", "advisedUpperSeconds"].map(
    (name) => numberOf(values, name),
  );
  if (seconds === undefined || lowerSeconds === undefined || upperSeconds === undefined) return null;
  return seconds > 0 && lowerSeconds > 0 && upperSeconds > 0 ? { seconds, lowerSeconds, upperSeconds } : null;
}
