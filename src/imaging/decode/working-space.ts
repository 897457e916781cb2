/** The space that a picture's numbers stay in while they are read: as many channels and as much depth as it has. */
export function workingSpace({ isWide, isGrey }: { isWide: boolean; isGrey: boolean }) {
  if (isWide) return isGrey ? "grey16" : "rgb16";
  return isGrey ? "b-w" : "srgb";
}
