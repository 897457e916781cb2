import { spawnSync } from "node:child_process";
import { existsSync, mkdirSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, join } from "node:path";
import { rm } from "node:fs/promises";
import { expect, it } from "vitest";
import { makeWorkFolder, removeOwnWorkFolders, sweepWorkFolders } from "#src/studio/work-folder.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";

it("folders of a process that is gone are swept away, those of one that runs and of strangers stay", async () => {
  const gone = spawnSync(process.execPath, ["-e", ""]).pid;
  const place = temporaryFolder();
  const names = [
    `wedgewright-${gone}-abcdef`,
    `wedgewright-${process.ppid}-abcdef`,
    "wedgewright-abcdef",
    "other-1-abcdef",
  ];
  for (const name of names) mkdirSync(join(place, name));
  expect(sweepWorkFolders({ place })).toBe(1);
  expect(names.map((name) => existsSync(join(place, name)))).toEqual([false, true, true, true]);
});

it("a work folder carries its process's number, and a start takes those of its own for leftovers", async () => {
  const folder = await makeWorkFolder();
  expect(basename(folder)).toContain(`-${process.pid}-`);
  const place = temporaryFolder();
  mkdirSync(join(place, basename(folder)));
  expect(sweepWorkFolders({ place })).toBe(0);
  expect(sweepWorkFolders({ place, atStart: true })).toBe(1);
  await rm(folder, { recursive: true });
});

it("as the process ends, its own folders go with what is in them, a stranger's stays", async () => {
  const own = await makeWorkFolder();
  mkdirSync(join(own, "inside"));
  const strangers = join(tmpdir(), `wedgewright-${process.ppid}-zzzzzz`);
  mkdirSync(strangers, { recursive: true });
  removeOwnWorkFolders();
  expect([existsSync(own), existsSync(strangers)]).toEqual([false, true]);
  await rm(strangers, { recursive: true });
});
