// Why a wedge sheet cannot be made as asked, or read, as codes and numbers. `sheet-words.ts` of shared/words makes the
// sentences.
import type { SheetOptions } from "./wedge-sheet-layout.ts";

export type SheetTrouble =
  /** The sheet was made by a newer program, in an arrangement that this one does not know. */
  | { readonly code: "newer-sheet-layout"; readonly layoutVersion: number; readonly knownVersion: number }
  | {
      readonly code: "sheet-option-outside";
      readonly option: keyof SheetOptions;
      readonly isWhole: boolean;
      readonly least: number;
      readonly most: number;
      readonly given: number;
    }
  | ({ readonly code: "sheet-patches-too-small"; readonly smallestPatchMm: number } & SheetOptions)
  /** Size of the block of code, marks and patches. */
  | { readonly code: "sheet-beyond-film"; readonly widthMm: number; readonly heightMm: number };
