// How much cloth, coating and money pieces or a running repeat take.

/** A piece as it is cut. */
export interface CutPiece {
  /** Across the cloth, from selvedge to selvedge [mm]. */
  readonly widthMm: number;
  /** Along the cloth [mm]. */
  readonly lengthMm: number;
}

export interface Yardage {
  /** Pieces side by side. */
  readonly across: number;
  readonly rows: number;
  /** Cloth to buy [mm]. */
  readonly lengthMm: number;
}

/**
 * Cloth for pieces that all lie the same way, in rows across the width.
 * @param pieces at least 1
 * @param clothWidthMm usable width [mm]; null where it is not known: then one piece lies in each row
 * @returns null when a piece is wider than the cloth
 * @example yardageOf({ widthMm: 400, lengthMm: 500 }, 5, 1400) // { across: 3, rows: 2, lengthMm: 1000 }
 */
export function yardageOf(piece: CutPiece, pieces: number, clothWidthMm: number | null): Yardage | null {
  const across = clothWidthMm === null ? 1 : Math.floor(clothWidthMm / piece.widthMm + 1e-9);
  if (across < 1) return null;
  const rows = Math.ceil(pieces / across);
  return { across, rows, lengthMm: rows * piece.lengthMm };
}

/**
 * Sensitizer for a metre of cloth, coated over a width.
 * @param mlPerM2 sensitizer for a square metre [ml]
 * @param coatedWidthMm [mm]
 * @returns [ml for each metre of length]
 * @example coatingPerMetreMl(80, 1400) // 112
 */
export function coatingPerMetreMl(mlPerM2: number, coatedWidthMm: number): number {
  return (mlPerM2 * coatedWidthMm) / 1000;
}

/**
 * Sensitizer for an area, from the area that a millilitre covers.
 * @param areaCm2PerMl [cm² for each ml], above 0
 * @returns [ml for each square metre]
 * @example mlPerM2From(125) // 80
 */
export function mlPerM2From(areaCm2PerMl: number): number {
  return 10_000 / areaCm2PerMl;
}
