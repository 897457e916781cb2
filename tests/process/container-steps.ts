// The steps of the container file, to be run in a plain folder.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { rootDir } from "#src/settings.ts";

export interface ContainerSteps {
  /** Shell commands of the first stage and of the last, without those that only an administrator may run. */
  readonly packing: readonly string[];
  readonly installing: readonly string[];
  /** What is started, in the last stage's folder. */
  readonly command: readonly string[];
  readonly environment: Readonly<Record<string, string>>;
}

/** @param folders what stands in a container's root, by where it shall lie here */
export function containerSteps(folders: Readonly<Record<string, string>>): ContainerSteps {
  const text = readFileSync(join(rootDir, "src", "start", "Containerfile"), "utf8");
  const stages = text.split(/^FROM /m).slice(1);
  const here = (words: string): string =>
    Object.entries(folders).reduce(
      // A folder's whole name: "/pack" is no part of "/package-lock.json".
      (each, [from, to]) => each.replaceAll(new RegExp(`${from}(?![\\w-])`, "g"), to),
      words,
    );
  const runs = (stage: string): string[] =>
    [...stage.matchAll(/^RUN (?!chown)(.+)$/gm)].map(([, command = ""]) => here(command));
  const words = (name: string): string[] =>
    JSON.parse(new RegExp(`^${name} (\\[.+\\])$`, "m").exec(text)?.[1] ?? "[]") as string[];
  return {
    packing: runs(stages[0] ?? ""),
    installing: runs(stages[1] ?? ""),
    command: [...words("ENTRYPOINT"), ...words("CMD")],
    environment: Object.fromEntries(
      [...text.matchAll(/^ENV (\w+)=(\S+)$/gm)].map(([, name = "", value = ""]) => [name, here(value)]),
    ),
  };
}
