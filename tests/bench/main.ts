// How good and how quick the program is, measured: npm run bench, or npm run bench -- <section> ...
// A section is one file beside this one with a title and a run function; its file name without .ts is its name.
import { existsSync } from "node:fs";

export type Print = (line: string) => void;

export interface Section {
  readonly title: string;
  run(print: Print): Promise<void>;
}

/** Order in which all sections run. */
const sections = [
  "given-corners",
  "scenes",
  "widened-scenes",
  "marked-corners",
  "speed",
  "curve-coverage",
  "studio-model",
  "model-speed",
  "same-material",
  "honest-ranges",
  "closed-loop",
  "negative-speed",
] as const;

async function main(names: readonly string[]): Promise<void> {
  const wanted =
    names.length > 0 ? names : sections.filter((name) => existsSync(new URL(`${name}.ts`, import.meta.url)));
  for (const name of wanted) {
    if (!/^[a-z-]+$/.test(name) || !existsSync(new URL(`${name}.ts`, import.meta.url)))
      throw new Error(`There is no section "${name}". Sections: ${sections.join(", ")}.`);
    const section = (await import(`./${name}.ts`)) as Section;
    console.log(`\n== ${name}: ${section.title}`);
    const started = performance.now();
    await section.run((line) => console.log(line));
    console.log(`(${((performance.now() - started) / 1000).toFixed(0)} s)`);
  }
}

if (process.argv[1]?.endsWith("main.ts")) await main(process.argv.slice(2));
