import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll } from "vitest";

const folders: string[] = [];
let isRegistered = false;

/** A new empty folder that disappears when the test file has ended. */
export function temporaryFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "wedgewright-test-"));
  folders.push(folder);
  if (!isRegistered) {
    isRegistered = true;
    afterAll(() => folders.forEach((each) => rmSync(each, { recursive: true, force: true })));
  }
  return folder;
}
