// What the page says that shows how the sheets of a large negative are cut and joined.
import { formatFixed } from "#shared/format/number.ts";

export const planHeading = ({ rows, columns }: { rows: number; columns: number }): string =>
  `${rows * columns} sheets, ${columns} across and ${rows} down`;

/** Lines under the heading. */
export function planLines({
  widthMm,
  heightMm,
  overlapMm,
  mirror,
}: {
  readonly widthMm: number;
  readonly heightMm: number;
  readonly overlapMm: number;
  readonly mirror: boolean;
}): readonly string[] {
  return [
    `The print will be ${formatFixed(widthMm, 0)} by ${formatFixed(heightMm, 0)} mm. Below, the sheets lie as the ` +
      "print is seen. Print this page on paper, not on film.",
    mirror
      ? "On the film, printed side up, everything is mirrored: sheet 1 is then at the top right."
      : "The film is not mirrored: sheet 1 is at the top left of it too.",
    `Neighbours share ${formatFixed(overlapMm, 0)} mm of the picture. Cut each along the inner edge of the lines in ` +
      "its margin, from one to the one across, on every side that has a neighbour.",
    "Lay the cut edges against each other, without overlap: two films on each other hold back twice the light. Clear " +
      "tape goes on the side away from the coating.",
  ];
}
