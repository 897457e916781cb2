// A strip drawn from an instrument's numbers, where nobody took a picture: it stands in its place on every page.
import { srgbFromLinear } from "#shared/density/srgb.ts";
import type { Corners, ReadingStep } from "#shared/schema/reading.ts";

const stepPx = 56;
const rimPx = 60;
const stripPx = 150;

/** Size of the drawing and where its strip lies, in its own pixels. */
export function drawnStripPlace(steps: number): {
  readonly width: number;
  readonly height: number;
  readonly corners: Corners;
  readonly boxOf: (index: number) => Corners;
} {
  const [width, height] = [2 * rimPx + steps * stepPx, 2 * rimPx + stripPx];
  const box = (left: number, top: number, right: number, bottom: number): Corners => [
    [left, top],
    [right, top],
    [right, bottom],
    [left, bottom],
  ];
  return {
    width,
    height,
    corners: box(rimPx, rimPx, width - rimPx, height - rimPx),
    boxOf: (index) =>
      box(rimPx + (index + 0.2) * stepPx, rimPx + 0.2 * stripPx, rimPx + (index + 0.8) * stepPx, rimPx + 0.8 * stripPx),
  };
}

/** Twice as many dots as units: drawings are painted at 192 dots an inch, and a unit is a 96th. */
const dotsPerUnit = 2;

/**
 * The drawing. Colours are no more than a likeness: red light as measured, blue and green as iron blue has them.
 * @param caption what it is, in a few plain words without marks of a markup language
 * @returns SVG of our own making; painted it has the pixels of `drawnStripPlace`
 */
export function drawnStripSvg(
  steps: readonly Pick<ReadingStep, "index" | "red" | "visual">[],
  caption: string,
): string {
  const { width, height } = drawnStripPlace(steps.length);
  const code = (density: number): number =>
    Math.round(255 * srgbFromLinear(Math.min(1, 0.9 * 10 ** -Math.max(density, 0))));
  const cells = steps.map(({ index, red, visual }, i) => {
    const left = rimPx + i * stepPx;
    const fill = `rgb(${code(red)},${code(0.8 * visual)},${code(0.35 * visual)})`;
    return (
      `<rect x="${left}" y="${rimPx}" width="${stepPx}" height="${stripPx}" fill="${fill}"/>` +
      `<text x="${left + stepPx / 2}" y="${rimPx + stripPx + 24}" text-anchor="middle">${index}</text>`
    );
  });
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width / dotsPerUnit}" height="${height / dotsPerUnit}" ` +
    `viewBox="0 0 ${width} ${height}" font-family="sans-serif" font-size="17" fill="#333">` +
    `<rect width="${width}" height="${height}" fill="#f4f2ec"/>` +
    `<text x="${rimPx}" y="${rimPx - 22}">${caption}</text>${cells.join("")}</svg>`
  );
}
