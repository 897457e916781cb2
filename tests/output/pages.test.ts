// What is printed on paper: independent readers find the words, the size and the picture again.
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { firstTestChecklist, firstTestLines, usualTimesNote } from "#shared/words/tests/first-test-words.ts";
import { firstTestSheetPdf } from "#src/output/first-test-sheet.ts";
import { cardBlocksOnPage, lidCardPdf } from "#src/output/lid-card.ts";
import { drawCode, drawTable, drawText, pageDocument, pageFrame, writableLetters } from "#src/output/page-document.ts";
import { addPackedPage, asBuffer, pdfDocument } from "#src/output/pdf-document.ts";
import { picturePdf } from "#src/output/picture-pdf.ts";
import { testReportPdf } from "#src/output/test-report.ts";
import { RowPacker } from "#src/imaging/negative/row-packer.ts";
import { curvePlot } from "#src/web/tests/curve-plot.ts";
import { curveOfBlue } from "../support/studios/saved-tablets.ts";
import { hasPoppler, pdfFacts } from "../support/pictures/pdf-facts.ts";

async function grey(side: number, format: "png" | "jpeg"): Promise<Buffer> {
  const picture = sharp({ create: { width: side, height: side, channels: 3, background: "#456" } });
  return picture.toFormat(format).toBuffer();
}

describe("writableLetters", () => {
  it("keeps the letters that the type has, and puts a question mark for others", () => {
    expect(writableLetters("“Größe” – −3… ’Łódź’ Ψ ж ≥ 青")).toBe("“Größe” – −3… ’Łódź’ Ψ ж ≥ ?");
  });
});

describe("asBuffer", () => {
  it("shows the same bytes without a copy", () => {
    const bytes = new Uint8Array(8).subarray(2, 6);
    asBuffer(bytes)[0] = 9;
    expect([...bytes]).toEqual([9, 0, 0, 0]);
    expect(asBuffer(bytes)).toHaveLength(4);
  });
});

describe.skipIf(!hasPoppler)("pages on paper (needs poppler-utils)", () => {
  it("a table goes on over the page's end and loses no row", async () => {
    const rows = Array.from({ length: 80 }, (_, index) => [`row ${index}`, String(index * index)]);
    const bytes = await pageDocument({
      title: "Long",
      draw(page) {
        drawText(page, "Before the table");
        drawTable(
          page,
          [
            { head: "name", share: 0.5 },
            { head: "square", share: 0.5 },
          ],
          rows,
        );
      },
    });
    const { text, info } = pdfFacts(bytes);
    expect(text).toContain("Before the table");
    for (const [name = "", square = ""] of rows) expect(text).toMatch(new RegExp(`\\b${name}\\s+${square}\\b`));
    expect(Number(/Pages:\s+(\d+)/.exec(info)?.[1])).toBeGreaterThan(1);
    expect(info).toMatch(/Page size:\s+595\.\d* x 841\.\d* pts \(A4\)/);
  });

  it("a code is drawn where it is asked for, and is no text", async () => {
    const draw = (isDark: boolean) =>
      pageDocument({
        title: "Code",
        draw: (page) =>
          drawCode(
            page,
            { size: 2, dark: [isDark, isDark, isDark, isDark] },
            { left: pageFrame.left, top: pageFrame.top, side: 40 },
          ),
      });
    const [dark, light] = [await draw(true), await draw(false)];
    expect(pdfFacts(dark).text.trim()).toBe("");
    expect(dark.length).toBeGreaterThan(light.length);
  });

  it("a true-size document asks viewers not to scale it, and has its own page size", async () => {
    const packer = new RowPacker({ width: 300, height: 150, bits: 8, channels: 1 });
    for (let y = 0; y < 150; y++) await packer.row(new Uint8Array(300).fill(90));
    const packed = await packer.end();
    const bytes = await pdfDocument({
      title: "Film",
      isTrueSize: true,
      draw: (pdf) => addPackedPage(pdf, packed, { dpi: 300, name: "P" }),
    });
    expect(Buffer.from(bytes).toString("latin1")).toContain("/PrintScaling /None");
    // One inch by half an inch.
    expect(pdfFacts(bytes).info).toMatch(/Page size:\s+72 x 36 pts/);
  });

  it("a picture's page is as large as it is told, in millimetres", async () => {
    const bytes = await picturePdf({
      png: await grey(40, "png"),
      pageWidthMm: 127,
      pageHeightMm: 254,
      title: "Sheet",
    });
    expect(pdfFacts(bytes).info).toMatch(/Page size:\s+360 x 720 pts/);
  });

  const row = {
    support: "Rag",
    materials: "Blue, Clear",
    time: "8:20",
    hasTime: true,
    range: "7:10 to 9:40",
    testedOn: "2026-05-01",
    testAgain: "EXPIRED 2026-04-01: test again",
    isUrgent: true,
  };
  const card = {
    paper: "a4" as const,
    name: "Box by the window",
    description: "Eight tubes",
    printedOn: "1 May 2026",
    rows: Array.from({ length: cardBlocksOnPage + 1 }, () => row),
    evenness: "Evenness of the bed: 0.35 stop",
    bed: { columns: 2, places: [0, -0.2, -0.5, -1].map((stops) => ({ stops, words: `${stops} there` })) },
    warmUp: "Let the tubes burn in.",
    cautions: ["Keep the lid shut."],
    address: "http://192.168.0.7:4870/studio/boxes/a",
    code: null,
  };

  it("a lid card tells every time, the bed, the cautions and the address, and goes on to a second card", async () => {
    const { text, info } = pdfFacts(await lidCardPdf(card));
    for (const said of [
      "Box by the window",
      "7:10 to 9:40",
      "EXPIRED",
      "Keep the lid shut.",
      card.address,
      "-0.5 there",
    ])
      expect(text).toContain(said);
    expect(text.match(/Blue, Clear/g)).toHaveLength(card.rows.length);
    expect(text.match(/8:20/g)).toHaveLength(card.rows.length);
    expect(text).toContain("Card 2 of 2");
    expect(info).toMatch(/Pages:\s+2\n/);
    expect(pdfFacts(await lidCardPdf({ ...card, rows: [] })).text).toContain("No test of this box has given a time");
    const disagreeing = { ...row, time: "tests disagree: retest", hasTime: false, range: "" };
    expect(pdfFacts(await lidCardPdf({ ...card, rows: [disagreeing] })).text).toContain("tests disagree: retest");
  });

  it.each([
    ["a5", 148, 210],
    ["a6", 105, 148],
  ] as const)("a lid card on %s is that size, with everything on it", async (paper, width, height) => {
    const { text, info } = pdfFacts(await lidCardPdf({ ...card, paper, rows: [row] }));
    const [, wide, high] = /Page size:\s+([\d.]+) x ([\d.]+) pts/.exec(info) ?? [];
    // ISO 216 rounds to whole millimetres.
    expect(Math.abs((Number(wide) / 72) * 25.4 - width)).toBeLessThan(0.6);
    expect(Math.abs((Number(high) / 72) * 25.4 - height)).toBeLessThan(0.6);
    for (const said of ["8:20", "7:10 to 9:40", card.address]) expect(text).toContain(said);
  });

  it("the sheet of a first test tells its time, and has all its lines on one page", async () => {
    const { text, info } = pdfFacts(
      await firstTestSheetPdf({
        light: "Box by the window",
        tablet: "Film tablet, 21 steps",
        time: "25 min",
        finds: "It finds a print time between 0:53 and 11:10.",
        checklist: firstTestChecklist("25 min"),
        lines: firstTestLines,
        note: usualTimesNote,
        cautions: ["Keep the lid shut."],
      }),
    );
    for (const said of ["First test: Box by the window", "25 min", "Bare rim on two sides", "Initials", "Keep the lid"])
      expect(text).toContain(said);
    expect(info).toMatch(/Pages:\s+1\n/);
  });

  it("a report tells answer, conditions and every step, and draws the curve where there is one", async () => {
    const report = {
      title: "Strip 7",
      materials: "Box, Rag, Blue",
      time: "8:20",
      range: "95 of 100 prints between 7:10 and 9:40",
      verdict: "Good test",
      reasons: ["The strip runs from white to blue."],
      warnings: ["The print was wet."],
      conditions: [{ term: "Exposure", value: "20:00" }],
      plot: curvePlot(curveOfBlue()),
      picture: await grey(60, "jpeg"),
      pictureWidth: 60,
      pictureHeight: 60,
      steps: Array.from({ length: 21 }, (_, index) => [
        `${index + 1}`,
        "0.05",
        `1.${index + 10}`,
        "0.01",
        "1.0",
        "40",
        "",
      ]),
      inputLabel: "film density",
      footing: "Printed on 1 May 2026.",
    };
    const { text } = pdfFacts(await testReportPdf(report));
    for (const said of ["Strip 7", "8:20", "Take care: The print was wet.", "Exposure", "20:00", "1.30", "log H"])
      expect(text).toContain(said);
    expect(pdfFacts(await testReportPdf({ ...report, plot: null })).text).not.toContain("log H");
  });
});
