// Sizes of film to pick, in millimetres, upright.
import { mmPerInch } from "#shared/units/inch.ts";

export interface FilmSize {
  readonly key: string;
  readonly label: string;
  readonly widthMm: number;
  /** Null for a roll: as long as the negative needs. */
  readonly heightMm: number | null;
}

/** Inches in millimetres, to a tenth. */
const inches = (width: number): number => Math.round(width * mmPerInch * 10) / 10;

/**
 * Film sizes that printers take.
 * Source: iso-216 (A series), ansi-y14-1 (Letter, Tabloid); A3+ and the rolls are the trade's usual sizes, common
 * practice, no source
 */
export const filmSizes: readonly FilmSize[] = [
  { key: "a5", label: "A5, 148 × 210 mm", widthMm: 148, heightMm: 210 },
  { key: "a4", label: "A4, 210 × 297 mm", widthMm: 210, heightMm: 297 },
  { key: "a3", label: "A3, 297 × 420 mm", widthMm: 297, heightMm: 420 },
  { key: "a3-plus", label: "A3+, 329 × 483 mm", widthMm: 329, heightMm: 483 },
  { key: "a2", label: "A2, 420 × 594 mm", widthMm: 420, heightMm: 594 },
  { key: "letter", label: "Letter, 8.5 × 11 in", widthMm: inches(8.5), heightMm: inches(11) },
  { key: "tabloid", label: "Tabloid, 11 × 17 in", widthMm: inches(11), heightMm: inches(17) },
  { key: "roll-17", label: "Roll, 17 in wide", widthMm: inches(17), heightMm: null },
  { key: "roll-24", label: "Roll, 24 in wide", widthMm: inches(24), heightMm: null },
  { key: "roll-44", label: "Roll, 44 in wide", widthMm: inches(44), heightMm: null },
];
