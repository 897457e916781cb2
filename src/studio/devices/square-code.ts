// A text as a square code: for a page, and for a terminal.
import { codeModules } from "#src/imaging/matrix-code.ts";

export interface SquareCode {
  /** Modules along a side with the quiet zone of 4 (ISO/IEC 18004, clause 6.3.8: from memory). */
  readonly side: number;
  /** Path of the dark modules, in modules. */
  readonly path: string;
}

const quiet = 4;
/** By what of a letter is dark: nothing, the lower half, the upper half, all. */
const halfBlocks = [" ", "▄", "▀", "█"];

export async function squareCode(text: string): Promise<SquareCode> {
  const { size, dark } = await codeModules(text);
  const path = dark
    .map((isDark, index) => (isDark ? `M${quiet + (index % size)} ${quiet + Math.floor(index / size)}h1v1h-1z` : ""))
    .join("");
  return { side: size + 2 * quiet, path };
}

/** The code in half-block letters, black on white by the terminal's own colours. */
export async function terminalCode(text: string): Promise<string> {
  const { size, dark } = await codeModules(text);
  const isDark = (row: number, column: number): boolean =>
    row >= 0 && row < size && column >= 0 && column < size && dark[row * size + column] === true;
  const lines: string[] = [];
  for (let row = -2; row < size + 2; row += 2) {
    let line = "";
    for (let column = -2; column < size + 2; column++) {
      line += halfBlocks[(isDark(row, column) ? 2 : 0) + (isDark(row + 1, column) ? 1 : 0)];
    }
    lines.push(`\u001b[30;107m${line}\u001b[0m`);
  }
  return lines.join("\n");
}
