// A characteristic curve as a small line without axes: its shape at a glance, never a figure.
import type { Curve } from "#shared/schema/curve.ts";
import { px } from "#src/web/parts/svg-plot.ts";

/** Width and height of the box that the path fills. */
export const sparkWidth = 100;
export const sparkHeight = 40;

/** @returns an SVG path, or null where there is no curve to draw */
export function sparkCurve(samples: Curve["samples"]): string | null {
  const logs = samples.map(({ logH }) => logH);
  const densities = samples.map(({ density }) => density);
  const [first, last] = [Math.min(...logs), Math.max(...logs)];
  const top = Math.max(...densities);
  if (samples.length < 2 || !(last > first) || !(top > 0)) return null;
  const places = samples.map(({ logH, density }) => {
    const x = ((logH - first) / (last - first)) * sparkWidth;
    const y = sparkHeight - 1 - (Math.max(0, density) / top) * (sparkHeight - 2);
    return `${px(x)} ${px(y)}`;
  });
  return `M${places.join("L")}`;
}
