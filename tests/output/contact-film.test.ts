// Several files or pictures in one file, read by libraries that are not ours.
import { spawnSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { unzipSync } from "fflate";
import { describe, expect, it } from "vitest";
import { RowPacker } from "#src/imaging/negative/row-packer.ts";
import { zipOf } from "#src/output/archive.ts";
import { contactPdf } from "#src/output/contact-pdf.ts";
import { addFilmOfPictures, pdfDocument } from "#src/output/pdf-document.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";

const has = (program: string) => spawnSync(program, ["-v"]).error === undefined;
const packer = new RowPacker({ width: 200, height: 100, bits: 8, channels: 1 });
for (let y = 0; y < 100; y++) await packer.row(new Uint8Array(200).fill(2 * y));
const picture = await packer.end();
const parts = { filmMm: { widthMm: 100, heightMm: 150 }, ground: [0, 0, 0], dpi: 100 } as const;

/** Pages and pictures of a PDF by poppler. */
function poppler(pdf: Uint8Array): { pages: string; pictures: string[] } {
  const file = join(temporaryFolder(), "film.pdf");
  writeFileSync(file, pdf);
  const pages = /Pages:\s+(\d+)/.exec(spawnSync("pdfinfo", [file], { encoding: "utf8" }).stdout)?.[1] ?? "";
  const listed = spawnSync("pdfimages", ["-list", file], { encoding: "utf8" }).stdout.trim().split("\n").slice(2);
  return { pages, pictures: listed };
}

describe("several pictures in one file", () => {
  it("as an archive, are what went in", () => {
    const bytes = new Uint8Array([1, 2, 3]);
    expect(unzipSync(zipOf([{ name: "01-sea.png", bytes }]))).toEqual({ "01-sea.png": bytes });
  });

  it.skipIf(!has("pdfimages"))("on films, keep their own dots per inch (poppler)", async () => {
    const films = [
      [
        { picture, xMm: 5, yMm: 5 },
        { picture, xMm: 5, yMm: 60 },
      ],
      [{ picture, xMm: 5, yMm: 5 }],
    ];
    const pdf = await contactPdf({ ...parts, films, title: "films", madeAt: new Date(0) });
    const { pages, pictures } = poppler(pdf);
    expect(pages).toBe("2");
    expect(pictures).toHaveLength(3);
    for (const line of pictures) expect(line.trim().split(/\s+/).slice(12, 14)).toEqual(["100", "100"]);
    const one = await pdfDocument({
      title: "one",
      draw: (drawn) => addFilmOfPictures(drawn, films[1] ?? [], { ...parts, name: "Film" }),
    });
    expect(poppler(one).pictures).toHaveLength(1);
  });
});
