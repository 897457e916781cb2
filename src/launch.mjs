#!/usr/bin/env node
// The commands: install what is missing, build, then start the server (also with phones let in), the demo, the bench or
// the tests.
// Plain JavaScript without dependencies, since nothing is installed yet when it runs, and in words that an old Node
// still reads, so that it can be told that it is too old.
import { spawnSync } from "child_process";
import { existsSync, readFileSync } from "fs";
import { basename, dirname, join } from "path";
import { fileURLToPath, pathToFileURL } from "url";

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const oldestNodeMajor = 20;
/** Installed as a package (npx, npm install) rather than unpacked as a project: its packages lie beside it already. */
const isPackage = basename(dirname(root)) === "node_modules";

/** Says one line on standard error and ends with a failure. */
function stop(line) {
  console.error(line);
  process.exit(1);
}

/** Runs a command in the project's root, showing its output; ends the process with its code when it fails. */
function run(command, args, environment = {}) {
  const result = spawnSync(command, args, {
    cwd: root,
    stdio: "inherit",
    env: { ...process.env, ...environment },
    shell: process.platform === "win32" && command === "npm",
  });
  if (result.error) stop(`Could not run ${command}: ${result.error.message}`);
  if (result.status !== 0) process.exit(result.status === null ? 1 : result.status);
}

/** Whether every package of the lock file stands in node_modules in its version, as npm's own record there says. */
function isInstalled() {
  const record = join(root, "node_modules", ".package-lock.json");
  if (!existsSync(record)) return false;
  const { packages: installed } = JSON.parse(readFileSync(record, "utf8"));
  const { packages: wanted } = JSON.parse(readFileSync(join(root, "package-lock.json"), "utf8"));
  return Object.keys(wanted)
    .filter((place) => place !== "" && !wanted[place].optional)
    .every((place) => installed[place] !== undefined && installed[place].version === wanted[place].version);
}

function installIfMissing() {
  if (isPackage || isInstalled()) return;
  console.log("Installing what is missing (once; about half a minute) ...");
  run("npm", ["ci", "--include=dev", "--no-audit", "--no-fund", "--loglevel=error"]);
}

/**
 * A package's own folder may be thrown away by npm: what is kept goes into the folder that the command was given in.
 */
function keepDataHere() {
  if (!isPackage || process.env.DATA_DIR) return;
  process.env.DATA_DIR = join(process.cwd(), "wedgewright-data");
  console.log(`Everything is kept in ${process.env.DATA_DIR}.`);
}

/** Runs `start` of the built server in this process, so that signals reach it. */
function startServer(options) {
  import(pathToFileURL(join(root, ".build", "main.mjs")).href)
    .then((main) => main.start(options))
    .catch((error) => {
      console.error(error);
      process.exit(1);
    });
}

if (Number(process.versions.node.split(".")[0]) < oldestNodeMajor) {
  stop(
    `Wedgewright needs Node ${oldestNodeMajor} or newer; this is ${process.versions.node}. Install a newer Node ` +
      "and start again.",
  );
}

const rest = process.argv.slice(2);
const isOpening = rest.includes("--open");
if (isOpening) rest.splice(rest.indexOf("--open"), 1);
const task = rest.shift() || "start";
if (!["start", "studio", "demo", "test", "bench"].includes(task))
  stop(`Unknown task "${task}": use start, studio, demo, bench or test.`);
installIfMissing();
run(process.execPath, [join(root, "src", "build.mjs")]);
switch (task) {
  case "start":
  case "studio":
  case "demo":
    keepDataHere();
    startServer({ demo: task === "demo", phones: task === "studio", open: isOpening });
    break;
  case "test":
    run(process.execPath, [join(root, "node_modules", "vitest", "vitest.mjs"), "run", ...rest], { NODE_ENV: "test" });
    break;
  case "bench":
    run(process.execPath, ["--import", "tsx", join(root, "tests", "bench", "main.ts"), ...rest]);
    break;
}
