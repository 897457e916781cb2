// Outlines of tablets on a picture, drawn with their boxes and names.
import { writtenFixed } from "#shared/format/number.ts";
import { boxMarginShare } from "#shared/limits.ts";
import { homographyFromCorners, mapBox, mapPoint } from "#shared/reading/corners/homography.ts";
import type { Corners, PointPx } from "#shared/schema/reading.ts";
import { middleOf } from "./corner-moves.ts";

export interface NamedOutline {
  readonly corners: Corners;
  readonly name: string;
}

/** What was measured in one step, where. */
export interface MeasuredBox {
  readonly box: Corners;
  readonly flags: readonly string[];
  readonly label: string;
}

const svgNamespace = "http://www.w3.org/2000/svg";

function svg<Name extends keyof SVGElementTagNameMap>(
  name: Name,
  attributes: Readonly<Record<string, string>>,
): SVGElementTagNameMap[Name] {
  const element = document.createElementNS(svgNamespace, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  return element;
}

const pointsOf = (list: readonly PointPx[]): string =>
  list.map(([x, y]) => `${writtenFixed(x, 1)},${writtenFixed(y, 1)}`).join(" ");

function nameAt([x, y]: PointPx, text: string, labelPx: number): SVGElement {
  const name = svg("text", {
    class: "step-end",
    x: writtenFixed(x, 1),
    y: writtenFixed(y, 1),
    "font-size": String(labelPx),
    "text-anchor": "middle",
    "dominant-baseline": "central",
  });
  name.textContent = text;
  return name;
}

interface Outline {
  readonly corners: Corners;
  readonly steps: number | null;
  readonly measured: readonly MeasuredBox[] | null;
  /** Where the handles stand that move the corners and, last, all of them. */
  readonly leaders: readonly PointPx[];
}

/**
 * The shapes over the picture: other outlines, this one with its boxes, or the corners that were tapped so far.
 * @param screenPx one pixel of the screen, and labelPx the size of the letters, in pixels of the picture
 */
export function overlayShapes({
  outline,
  tapped,
  others,
  screenPx,
  labelPx,
}: {
  readonly outline: Outline | null;
  readonly tapped: readonly PointPx[];
  readonly others: readonly NamedOutline[];
  readonly screenPx: number;
  readonly labelPx: number;
}): SVGElement[] {
  return [
    ...others.flatMap((other) => [
      svg("polygon", { class: "other-outline", points: pointsOf(other.corners) }),
      nameAt(middleOf(other.corners), other.name, labelPx),
    ]),
    ...tapped.flatMap((point, index) => [
      crossAt(point, 12 * screenPx),
      nameAt([point[0] + 1.2 * labelPx, point[1] - 1.2 * labelPx], String(index + 1), labelPx),
    ]),
    ...(outline === null ? [] : outlineShapes(outline, screenPx, labelPx)),
  ];
}

/** A cross that shows a corner to the pixel. */
function crossAt([x, y]: PointPx, arm: number): SVGElement {
  return svg("path", { class: "corner-cross", d: `M${x - arm} ${y}H${x + arm}M${x} ${y - arm}V${y + arm}` });
}

function outlineShapes(
  { corners, steps, measured, leaders }: Outline,
  screenPx: number,
  labelPx: number,
): SVGElement[] {
  const shapes: SVGElement[] = [
    svg("polygon", { class: "strip-outline", points: pointsOf(corners) }),
    ...corners.flatMap((corner, index) => [
      svg("path", { class: "corner-leader", d: `M${corner.join(" ")}L${(leaders[index] ?? corner).join(" ")}` }),
      crossAt(corner, 5 * screenPx),
    ]),
    ...(measured ?? []).flatMap(measuredShapes),
  ];
  if (steps === null) return shapes;
  let map: ReturnType<typeof homographyFromCorners>;
  try {
    map = homographyFromCorners(corners);
  } catch {
    // Three corners on a line: the outline shows it.
    return shapes;
  }
  for (let step = 0; measured === null && step < steps; step += 1) {
    shapes.push(
      svg("polygon", {
        class: "step-box",
        points: pointsOf(
          mapBox(map, {
            u0: (step + boxMarginShare) / steps,
            u1: (step + 1 - boxMarginShare) / steps,
            v0: boxMarginShare,
            v1: 1 - boxMarginShare,
          }),
        ),
      }),
    );
  }
  return [
    ...shapes,
    nameAt(mapPoint(map, 0.5 / steps, 0.5), "1", labelPx),
    nameAt(mapPoint(map, 1 - 0.5 / steps, 0.5), String(steps), labelPx),
  ];
}

function measuredShapes({ box, flags, label }: MeasuredBox): SVGElement[] {
  const polygon = svg("polygon", { class: flags.length > 0 ? "step-box flagged" : "step-box", points: pointsOf(box) });
  const title = svg("title", {});
  title.textContent = label;
  polygon.append(title);
  return flags.length === 0
    ? [polygon]
    : [
        polygon,
        svg("path", {
          class: "flag-cross",
          d: `M${box[0].join(" ")}L${box[2].join(" ")}M${box[1].join(" ")}L${box[3].join(" ")}`,
        }),
      ];
}
