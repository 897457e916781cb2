import { spawnSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { pdfDocument } from "#src/output/pdf-document.ts";
import { addPlanPage, type SheetPlan } from "#src/output/plan-page.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";

const has = (program: string) => spawnSync(program, ["-v"]).error === undefined;

async function textAndSize(plan: SheetPlan): Promise<{ text: string; size: string }> {
  const file = join(temporaryFolder(), "plan.pdf");
  writeFileSync(file, await pdfDocument({ title: "Plan", draw: (pdf) => addPlanPage(pdf, plan) }));
  return {
    text: spawnSync("pdftotext", ["-layout", file, "-"], { encoding: "utf8" }).stdout,
    size: /Page size:\s+([\d.]+ x [\d.]+)/.exec(spawnSync("pdfinfo", [file], { encoding: "utf8" }).stdout)?.[1] ?? "",
  };
}

const plan = { rows: 2, columns: 3, widthMm: 500, heightMm: 350, heading: "Six sheets", lines: ["Cut them."] };

describe.skipIf(!has("pdftotext") || !has("pdfinfo"))("the page that shows how sheets lie (read by poppler)", () => {
  it("numbers them row by row as the print is seen, on a page of the film's size", async () => {
    const { text, size } = await textAndSize({ ...plan, pageMm: { width: 254, height: 508 } });
    expect(size).toBe("720 x 1440");
    const numbers = text.split("\n").flatMap((line) => (/^[\s\d]+$/.test(line) ? [line.trim().split(/\s+/)] : []));
    expect(numbers.filter((line) => line[0] !== "")).toEqual([
      ["1", "2", "3"],
      ["4", "5", "6"],
    ]);
    expect(text).toMatch(/Six sheets[\s\S]*Cut them\./);
  });

  it("without a film of its own, is on A4", async () => {
    expect((await textAndSize({ ...plan, pageMm: null })).size).toBe("595.276 x 841.89");
  });
});
