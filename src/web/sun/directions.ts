/** Compass words, clockwise from true north [°]. */
export const directions = [
  { value: 0, label: "north" },
  { value: 45, label: "north-east" },
  { value: 90, label: "east" },
  { value: 135, label: "south-east" },
  { value: 180, label: "south" },
  { value: 225, label: "south-west" },
  { value: 270, label: "west" },
  { value: 315, label: "north-west" },
] as const;

/** The compass word nearest to an azimuth. */
export function directionWord(azimuthDegrees: number): string {
  return directions[Math.round(azimuthDegrees / 45) % 8]?.label ?? "north";
}
