// What each step of a tablet is known by, in tablet order.
import type { Tablet } from "#shared/schema/reading.ts";

/**
 * What each step received, in tablet order: tablet density for a film, seconds for a timed strip, grey level for a
 * strip of levels.
 * @returns empty for our wedge sheet, whose layout carries its own levels
 */
export function stepInputs(tablet: Tablet): readonly number[] {
  switch (tablet.kind) {
    case "transmission":
      if ("densities" in tablet) return tablet.densities;
      // Rounded to a millionth: 0.05 + 3 x 0.15 should read 0.5.
      return Array.from(
        { length: tablet.steps },
        (_, i) => Math.round((tablet.firstDensity + i * tablet.increment) * 1e6) / 1e6,
      );
    case "timed":
      return tablet.seconds;
    case "levels":
      return tablet.levels;
    case "sheet":
      return [];
  }
}

/** How many steps the user says the tablet has; null for our wedge sheet, which says so itself. */
export function declaredSteps(tablet: Tablet): number | null {
  return tablet.kind === "sheet" ? null : stepInputs(tablet).length;
}
