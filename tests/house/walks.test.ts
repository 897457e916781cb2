// The walks that DEVELOPERS.md tells: every file named stands on the way that the code really takes.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { rootDir } from "#src/settings.ts";
import { importsOf } from "../support/source-tree.ts";

/** Where no import leads: threads are started by their file, and the pool is handed in by the app. */
const unimported: Readonly<Record<string, string>> = {
  "src/studio/tools.ts": "src/imaging/pool.ts",
  "src/imaging/pool.ts": "src/imaging/worker.ts",
  "src/studio/tests/assess-thread.ts": "src/studio/tests/assess-worker.ts",
};

/** Hops that a reader may be left to find alone: one file between two that are told. */
const mostHops = 2;

/** Files that others lead to within some hops, by imports, threads and tools. */
function within(hops: number, starts: readonly string[]): ReadonlySet<string> {
  const reached = new Set(starts);
  let edge = [...starts];
  for (let hop = 0; hop < hops; hop++) {
    edge = edge.flatMap(nextTo).filter((file) => !reached.has(file));
    for (const file of edge) reached.add(file);
  }
  return reached;
}

function nextTo(file: string): string[] {
  const further = unimported[file];
  const imported = importsOf(file).flatMap(({ to }) => (to?.endsWith(".ts") === true ? [to] : []));
  return further === undefined ? imported : [further, ...imported];
}

interface Walk {
  readonly title: string;
  /** The files by their whole paths, in the order in which they are told. */
  readonly files: readonly string[];
}

const walks: readonly Walk[] = readFileSync(join(rootDir, "DEVELOPERS.md"), "utf8")
  .split(/^## /m)
  .filter((section) => /^One \w+( \w+)?, followed through the files/.test(section))
  .map((section) => ({
    title: section.split("\n")[0] ?? "",
    files: [...section.matchAll(/`((?:src|shared)\/[\w/-]+\.ts)`/g)].map(([, path]) => path ?? ""),
  }));

describe("the walks of DEVELOPERS.md", () => {
  it("are told for a photo, a negative and a sun plan", () => {
    expect(walks.map(({ title }) => title.split(" ")[1]?.replace(",", ""))).toEqual(["photo", "negative", "sun"]);
  });

  for (const { title, files } of walks) {
    it(`${title}: each file follows from those told before it`, () => {
      const astray = files.filter(
        (file, i) => !file.startsWith("src/web/") && !within(mostHops, files.slice(0, i)).has(file),
      );
      expect(files.length).toBeGreaterThan(8);
      expect(astray).toEqual([]);
    });
  }
});
