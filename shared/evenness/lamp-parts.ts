// The parts of a lamp over a bed, and the light of each at a place.
import { signedCorner, tubeAt } from "#shared/lamp/lamp-geometry.ts";

/** Where a place lies under a lamp, from its middle [mm]. */
export interface UnderLamp {
  readonly across: number;
  readonly down: number;
}

/** Light of each part at a place [any unit that they share], in a list of its own. */
export type PartLights = (under: UnderLamp) => number[];

/** A lamp's sides, and how far it lies above the bed [mm]. */
interface LampSize {
  readonly width: number;
  readonly height: number;
  readonly distance: number;
}

/**
 * Tubes side by side, lying across the bed or down it.
 * @param left what is left of each tube's light, 0-1
 * Source: as `tubeAt`.
 */
export function tubesOver({
  lie,
  left,
  width,
  height,
  distance,
}: LampSize & { readonly lie: "across" | "down"; readonly left: readonly number[] }): PartLights {
  const isAcross = lie === "across";
  const [length, spread] = isAcross ? [width, height] : [height, width];
  const pitch = spread / left.length;
  return ({ across, down }) => {
    const [z, beside] = isAcross ? [across, down] : [down, across];
    const lights: number[] = [];
    for (let n = 0; n < left.length; n++)
      lights.push(left[n]! * tubeAt({ length, distance, x: beside - (n - (left.length - 1) / 2) * pitch, z }));
    return lights;
  };
}

/** Diodes in columns and rows, each a small lamp that shines by the cosine law. Source: LambertianFactors. */
export function diodesOver({
  columns,
  left,
  width,
  height,
  distance,
}: LampSize & { readonly columns: number; readonly left: readonly number[] }): PartLights {
  const rows = left.length / columns;
  const square = distance ** 2;
  return ({ across, down }) => {
    const lights: number[] = [];
    for (let row = 0; row < rows; row++) {
      const y = down - (row + 0.5 - rows / 2) * (height / rows);
      for (let column = 0; column < columns; column++) {
        const x = across - (column + 0.5 - columns / 2) * (width / columns);
        const away = square + x * x + y * y;
        lights.push((left[row * columns + column]! * square) / (away * away));
      }
    }
    return lights;
  };
}

/** An even panel, cut into fields whose strength may differ. Source: LambertianFactors. */
export function panelOver({ toSide, width, height, distance }: LampSize & { readonly toSide: number }): PartLights {
  const corners = toSide + 1;
  return ({ across, down }) => {
    const upTo: number[] = [];
    for (let row = 0; row < corners; row++) {
      const y = (row / toSide - 0.5) * height - down;
      for (let column = 0; column < corners; column++)
        upTo.push(signedCorner((column / toSide - 0.5) * width - across, y, distance));
    }
    const lights: number[] = [];
    for (let row = 0; row < toSide; row++) {
      for (let column = 0; column < toSide; column++) {
        const at = row * corners + column;
        lights.push(upTo[at]! - upTo[at + 1]! - upTo[at + corners]! + upTo[at + corners + 1]!);
      }
    }
    return lights;
  };
}
