// Numbers as strokes of seven straight lines each, as a printed scale could have them.

/** Strokes of each digit: top, upper left, upper right, middle, lower left, lower right, bottom. */
const strokes = [
  "1110111",
  "0010010",
  "1011101",
  "1011011",
  "0111010",
  "1101011",
  "1101111",
  "1010010",
  "1111111",
  "1111011",
];
/** Width of a digit and of a stroke, gap between digits; shares of the height. */
const digitWidth = 0.5;
const strokeWidth = 0.14;
const gap = 0.2;

/** Whether a place lies on a number centred at x = 0, y running from 0 (top) to 1; lengths as shares of its height. */
export function isInNumber(number: number, x: number, y: number): boolean {
  if (y < 0 || y > 1) return false;
  const digits = String(number);
  const width = digits.length * digitWidth + (digits.length - 1) * gap;
  const along = x + width / 2;
  const which = Math.floor(along / (digitWidth + gap));
  const inside = along - which * (digitWidth + gap);
  const digit = digits[which];
  if (digit === undefined || along < 0 || inside > digitWidth) return false;
  return isOnStroke(strokes[Number(digit)]!, inside, y);
}

/** Whether a place inside a digit's box lies on one of the seven strokes that the digit has. */
function isOnStroke(present: string, inside: number, y: number): boolean {
  const on = (stroke: number): boolean => present[stroke] === "1";
  const near = (value: number, line: number): boolean => Math.abs(value - line) < strokeWidth / 2;
  const edge = strokeWidth / 2;
  return (
    (on(0) && near(y, edge)) ||
    (on(3) && near(y, 0.5)) ||
    (on(6) && near(y, 1 - edge)) ||
    (near(inside, edge) && on(y < 0.5 ? 1 : 4)) ||
    (near(inside, digitWidth - edge) && on(y < 0.5 ? 2 : 5))
  );
}
