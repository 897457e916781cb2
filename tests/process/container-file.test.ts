// The container file, read against the project: what it copies is there, the lock decides, nobody is root.
import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { readSettings, rootDir } from "#src/settings.ts";
import { containerSteps } from "./container-steps.ts";

const text = readFileSync(join(rootDir, "src", "start", "Containerfile"), "utf8");
const program = JSON.parse(readFileSync(join(rootDir, "package.json"), "utf8")) as {
  readonly bin: Readonly<Record<string, string>>;
  readonly files: readonly string[];
  readonly engines: { readonly node: string };
};
const stages = text.split(/^FROM /m).slice(1);
const [first = "", last = ""] = stages;
const steps = containerSteps({});

describe("the container file", () => {
  it("builds on a Node that the program takes, the same in both stages", () => {
    const majors = stages.map((stage) => Number(/node:(\d+)/.exec(stage)?.[1]));
    expect(new Set(majors).size).toBe(1);
    expect(majors[0]).toBeGreaterThanOrEqual(Number(/\d+/.exec(program.engines.node)?.[0]));
  });

  it("copies the project, and of the first stage only what that stage made", () => {
    expect([...first.matchAll(/^COPY (.+)$/gm)].map(([, words]) => words)).toEqual([". ."]);
    const copied = [...last.matchAll(/^COPY (.+)$/gm)].map(([, words = ""]) => words.split(" "));
    expect(copied).toHaveLength(1);
    const [[from, source = ""] = []] = copied;
    expect(from).toBe("--from=pack");
    expect(first).toMatch(/ AS pack$/m);
    expect(steps.packing.join(" && ")).toContain(`mkdir -p ${source}`);
  });

  it("is given all that the program is packed of, and the lock", () => {
    const ignored = readFileSync(join(rootDir, ".dockerignore"), "utf8").split("\n").filter(Boolean);
    for (const path of [...program.files, "package.json", "package-lock.json", "LICENSE"]) {
      expect(existsSync(join(rootDir, path)), path).toBe(true);
      expect(
        ignored.some((each) => path === each || path.startsWith(`${each}/`)),
        path,
      ).toBe(false);
    }
  });

  it("installs by the lock, without development packages", () => {
    const npm = steps.installing.filter((command) => command.startsWith("npm "));
    expect(npm).toHaveLength(1);
    expect(npm[0]).toMatch(/^npm ci .*--omit=dev/);
    expect(steps.packing.join(" ")).toContain("cp package-lock.json");
  });

  it("starts the program's own entry as an ordinary user", () => {
    const [node, entry = ""] = steps.command;
    expect(node).toBe("node");
    expect(entry.replace("node_modules/wedgewright/", "")).toBe(Object.values(program.bin)[0]);
    const [beforeUser = "", afterUser = ""] = last.split(/^USER .+$/m);
    expect(/^USER (.+)$/m.exec(last)?.[1]).toBe("node");
    expect(beforeUser).toMatch(/^RUN chown -R node:node \/house \/kept$/m);
    expect(afterUser).not.toMatch(/^RUN /m);
  });

  it("keeps its data in a volume, and names the port that it serves", () => {
    expect(/^VOLUME (.+)$/m.exec(last)?.[1]).toBe(steps.environment["DATA_DIR"]);
    expect(Number(/^EXPOSE (\d+)$/m.exec(last)?.[1])).toBe(readSettings({}).port);
  });
});
