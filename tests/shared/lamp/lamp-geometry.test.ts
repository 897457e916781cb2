import { describe, expect, it } from "vitest";
import { diskOnAxis, panelAt, pointAt, rectangleCorner, tubeAt, tubeBankAt } from "#shared/lamp/lamp-geometry.ts";
import { numberIn, referenceTable } from "../../support/reference-table.ts";
import { simpsonWeight } from "../../support/simpson-weight.ts";

/** "r=10;h=20" as numbers by name; parts without a number are left out. */
function parametersOf(text: string): Record<string, number> {
  return Object.fromEntries(
    text
      .split(";")
      .map((part) => part.split("="))
      .filter(([, value]) => value !== undefined && Number.isFinite(Number(value)))
      .map(([name, value]) => [name, Number(value)]),
  );
}

function computed(kind: string, p: Record<string, number>): number {
  const get = (name: string): number => {
    const value = p[name];
    if (value === undefined) throw new Error(`${kind} has no ${name}`);
    return value;
  };
  switch (kind) {
    case "disk_on_axis":
      return diskOnAxis(get("r"), get("h"));
    case "rect_corner":
      return rectangleCorner(get("a"), get("b"), get("h"));
    case "panel_centre":
      return panelAt({ width: get("W"), height: get("H"), distance: get("h") });
    case "panel_offset":
      return panelAt({ width: get("W"), height: get("H"), distance: get("h"), x: get("x"), y: get("y") });
    case "point_to_rect_corner":
      return shareOfPointOnRectangle(get("a"), get("b"), get("c"));
    case "point_isotropic_plane_irradiance":
      return pointAt(get("h"), get("x"));
    case "line_tube":
      return tubeAt({ length: get("L"), distance: get("h"), x: get("x"), z: get("z") });
    case "tube_bank":
      return tubeBankAt({
        count: get("N"),
        pitch: get("pitch"),
        length: get("L"),
        distance: get("h"),
        x: get("x"),
        z: get("z"),
      });
    default:
      throw new Error(`no formula for ${kind}`);
  }
}

/**
 * Share of a point's light that falls on a rectangle with one corner straight below: irradiance summed over it
 * (Simpson).
 */
function shareOfPointOnRectangle(a: number, b: number, distance: number): number {
  const n = 400;
  let sum = 0;
  for (let i = 0; i <= n; i++)
    for (let j = 0; j <= n; j++)
      sum += simpsonWeight(i, n) * simpsonWeight(j, n) * pointAt(distance, Math.hypot((a * i) / n, (b * j) / n));
  return (sum * (a / n / 3) * (b / n / 3)) / (4 * Math.PI);
}

const rows = referenceTable("lamp-geometry", 40);

describe("irradiance under lamps of simple shape", () => {
  it.each(rows.map((row) => [`${row["case"]} ${row["parameters"]}`, row] as const))(
    "%s agrees with the table",
    (_name, row) => {
      const expected = numberIn(row, "closed_form");
      expect(Math.abs(computed(row["case"] ?? "", parametersOf(row["parameters"] ?? "")) / expected - 1)).toBeLessThan(
        1e-9,
      );
    },
  );

  it("far from any lamp, follows the inverse square", () => {
    expect(diskOnAxis(10, 1e4) / diskOnAxis(10, 2e4)).toBeCloseTo(4, 5);
    expect(
      panelAt({ width: 60, height: 30, distance: 1e4 }) / panelAt({ width: 60, height: 30, distance: 2e4 }),
    ).toBeCloseTo(4, 3);
    expect(
      tubeBankAt({ count: 6, pitch: 5, length: 60, distance: 1e4 }) /
        tubeBankAt({ count: 6, pitch: 5, length: 60, distance: 2e4 }),
    ).toBeCloseTo(4, 3);
  });

  it("does not care which side of a panel is called width", () => {
    expect(panelAt({ width: 40, height: 30, distance: 10, x: 5, y: 12 })).toBeCloseTo(
      panelAt({ width: 30, height: 40, distance: 10, x: 12, y: 5 }),
      14,
    );
  });
});
