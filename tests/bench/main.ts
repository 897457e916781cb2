// How good and how quick the program is, measured: npm run bench, or npm run bench -- <section> ...
// A section is one file with a title and a run function, named in the table below.

export type Print = (line: string) => void;

export interface Section {
  readonly title: string;
  run(print: Print): Promise<void>;
}

/** Sections in the order in which all of them run, each with its file. */
const sections: Readonly<Record<string, string>> = {
  "given-corners": "scenes/given-corners.ts",
  scenes: "scenes/scenes.ts",
  "widened-scenes": "scenes/widened-scenes.ts",
  "marked-corners": "scenes/marked-corners.ts",
  brackets: "scenes/brackets.ts",
  speed: "speed.ts",
  "curve-coverage": "curve-coverage.ts",
  "studio-model": "studio/studio-model.ts",
  alarms: "studio/alarms.ts",
  "model-speed": "studio/model-speed.ts",
  "uneven-beds": "studio/uneven-beds.ts",
  "same-material": "studio/same-material.ts",
  "lamp-ranges": "studio/lamp-ranges.ts",
  "honest-ranges": "honest-ranges.ts",
  "next-prints": "next-prints.ts",
  "closed-loop": "closed-loop.ts",
  "film-advice": "film-advice.ts",
  witness: "witness.ts",
  "negative-speed": "negative-speed.ts",
};

async function main(names: readonly string[]): Promise<void> {
  for (const name of names.length > 0 ? names : Object.keys(sections)) {
    const file = Object.hasOwn(sections, name) ? sections[name] : undefined;
    if (file === undefined)
      throw new Error(`There is no section "${name}". Sections: ${Object.keys(sections).join(", ")}.`);
    const section = (await import(`./${file}`)) as Section;
    console.log(`\n== ${name}: ${section.title}`);
    const started = performance.now();
    await section.run((line) => console.log(line));
    console.log(`(${((performance.now() - started) / 1000).toFixed(0)} s)`);
  }
}

if (process.argv[1]?.endsWith("main.ts")) await main(process.argv.slice(2));
