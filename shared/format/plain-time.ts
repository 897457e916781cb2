import { withDecimalSign } from "./number.ts";

/**
 * A duration in plain words, as exact as a darkroom clock needs.
 * @param seconds zero or more
 * @example
 * plainTime(500) // => "8 min 20 s"
 * plainTime(4.26) // => "4.3 s"
 * plainTime(7500) // => "2 h 5 min"
 */
export function plainTime(seconds: number): string {
  if (seconds < 9.95) return `${withDecimalSign(String(Math.round(seconds * 10) / 10))} s`;
  const whole = Math.round(seconds);
  if (whole < 60) return `${whole} s`;
  if (whole < 3600) {
    const rest = whole % 60;
    return rest === 0 ? `${Math.floor(whole / 60)} min` : `${Math.floor(whole / 60)} min ${rest} s`;
  }
  const minutes = Math.round(seconds / 60);
  const rest = minutes % 60;
  return rest === 0 ? `${Math.floor(minutes / 60)} h` : `${Math.floor(minutes / 60)} h ${rest} min`;
}
