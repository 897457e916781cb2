// Several files or pictures in one file, read by libraries that are not ours.
import { spawnSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { unzipSync } from "fflate";
import { describe, expect, it } from "vitest";
import { RowPacker } from "#src/imaging/negative/row-packer.ts";
import { zipFile } from "#src/output/archive.ts";
import { contactPdfFile } from "#src/output/contact-pdf.ts";
import { negativePdfFile } from "#src/output/negative-pdf.ts";
import { addFilmOfPictures, embedPacked, pdfDocument, pdfFile } from "#src/output/pdf-document.ts";
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

/** One after the other, as they are drawn. */
async function* inTurn<Each>(...all: readonly Each[]): AsyncGenerator<Each> {
  for (const each of all) yield await Promise.resolve(each);
}
const dots = (line: string): string[] => line.trim().split(/\s+/).slice(12, 14);

describe("several pictures in one file", () => {
  it("as an archive, are what went in, also where they are longer than one portion or empty", async () => {
    const path = join(temporaryFolder(), "several.zip");
    const files = {
      "01-sea.png": new Uint8Array([1, 2, 3]),
      "02-meer-für-alle.png": Uint8Array.from({ length: 2_500_000 }, (_, at) => (at * 31) % 251),
      "03-nothing.png": new Uint8Array(0),
    };
    await zipFile(path, inTurn(...Object.entries(files).map(([name, bytes]) => ({ name, bytes }))));
    expect(unzipSync(new Uint8Array(readFileSync(path)))).toEqual(files);
    if (has("unzip")) expect(spawnSync("unzip", ["-t", path], { encoding: "utf8" }).stdout).toContain("No errors");
  });

  it.skipIf(!has("pdfimages"))("on films, keep their own dots per inch (poppler)", async () => {
    const films = [
      [
        { index: 0, xMm: 5, yMm: 5 },
        { index: 1, xMm: 5, yMm: 60 },
      ],
      [{ index: 2, xMm: 5, yMm: 5 }],
    ];
    const path = join(temporaryFolder(), "films.pdf");
    const sizes: string[] = [];
    await contactPdfFile({
      ...parts,
      path,
      pictures: inTurn(picture, picture, picture),
      place: (pictures) => {
        sizes.push(...pictures.map(({ width, height }) => `${width} x ${height}`));
        return films;
      },
      title: "films",
      madeAt: new Date(0),
    });
    expect(sizes).toEqual(["200 x 100", "200 x 100", "200 x 100"]);
    const { pages, pictures } = poppler(readFileSync(path));
    expect(pages).toBe("2");
    expect(pictures).toHaveLength(3);
    for (const line of pictures) expect(dots(line)).toEqual(["100", "100"]);
    const one = await pdfDocument({
      title: "one",
      draw: (drawn) =>
        addFilmOfPictures(drawn, [{ picture: embedPacked(drawn, picture), xMm: 5, yMm: 5 }], {
          ...parts,
          name: "Film",
        }),
    });
    expect(poppler(one).pictures).toHaveLength(1);
  });

  it.skipIf(!has("pdfimages"))(
    "as pages, are as large as their pixels and lie on the disk in turn (poppler)",
    async () => {
      const path = join(temporaryFolder(), "pages.pdf");
      const page = { picture, filmMm: null };
      await negativePdfFile({ path, pages: inTurn(page, page), dpi: 100, title: "pages", madeAt: new Date(0) });
      const { pages, pictures } = poppler(readFileSync(path));
      expect(pages).toBe("2");
      expect(pictures.map(dots)).toEqual([
        ["100", "100"],
        ["100", "100"],
      ]);
    },
  );

  it("when a picture cannot be drawn, tells why", async () => {
    const path = join(temporaryFolder(), "broken.pdf");
    const draw = () => Promise.reject(new Error("no such picture"));
    await expect(pdfFile({ path, title: "broken", draw })).rejects.toThrow("no such picture");
  });

  it("when the disk takes nothing, tells so", async () => {
    const path = join(temporaryFolder(), "nowhere", "lost.pdf");
    const pages = inTurn({ picture, filmMm: null });
    await expect(negativePdfFile({ path, pages, dpi: 100, title: "lost", madeAt: new Date(0) })).rejects.toThrow(
      "ENOENT",
    );
  });
});
