import { describe, expect, it } from "vitest";
import type { PaperCell } from "#shared/reading/light/light-field.ts";
import { cellsOfOneSurface } from "#shared/reading/light/one-surface.ts";
import { noiseFrom } from "../../../support/pictures/strip-picture.ts";

const aspect = 0.15;
const random = noiseFrom(3);
/**
 * Cells along one long side, under light that falls off along the strip, on a surface so much darker (natural
 * logarithm).
 */
const row = (v: number, { darker = 0, from = 0, to = 24 } = {}): PaperCell[] =>
  Array.from({ length: to - from }, (_, i) => {
    const u = (from + i + 0.5) / 24;
    const log = -0.3 - 0.2 * u - 0.03 * v * aspect - darker + 0.002 * random();
    return { u, v, logLight: [log, log - 0.01, log - 0.04], sigma: 0.002 };
  });

describe("cellsOfOneSurface", () => {
  it("for plain paper on all sides, keeps every cell", () => {
    const cells = [...row(-0.4), ...row(1.4), ...row(-0.7), ...row(1.7)];
    expect(cellsOfOneSurface(cells, aspect)).toHaveLength(cells.length);
  });

  it("when a ruler beside the print fills more than half of the cells, leaves it out", () => {
    const paper = [...row(-1.5), ...row(1.5, { to: 5 }), ...row(1.5, { from: 20 })];
    const ruler = [...row(-2, { darker: 0.28 }), ...row(-2.4, { darker: 0.28 })];
    const kept = cellsOfOneSurface([...paper, ...ruler], aspect);
    expect(kept).toHaveLength(paper.length);
    expect(kept.every((cell) => paper.includes(cell))).toBe(true);
  });
});
