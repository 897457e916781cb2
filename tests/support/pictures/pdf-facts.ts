// What independent readers of PDF see in a file: poppler's pdfinfo and pdftotext; null where they are not installed.
import { spawnSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { temporaryFolder } from "../temporary-folder.ts";

/** Whether poppler's tools are there. */
export const hasPoppler = ["pdfinfo", "pdftotext"].every((tool) => spawnSync(tool, ["-v"]).error === undefined);

/** Text of all pages in reading order, and what the file says of itself. */
export function pdfFacts(bytes: Uint8Array): { readonly text: string; readonly info: string } {
  const file = join(temporaryFolder(), "read.pdf");
  writeFileSync(file, bytes);
  const run = (tool: string, ...options: string[]): string => {
    const { status, stdout, stderr } = spawnSync(tool, options, { encoding: "utf8" });
    if (status !== 0) throw new Error(`${tool}: ${stderr}`);
    return stdout;
  };
  return { text: run("pdftotext", "-layout", file, "-"), info: run("pdfinfo", file) };
}
