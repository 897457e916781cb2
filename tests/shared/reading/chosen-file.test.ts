import { describe, expect, it } from "vitest";
import { chosenFileTrouble, isDoubtOf, pictureSizeDoubt } from "#shared/reading/chosen-file.ts";
import { chosenFileSentence } from "#shared/words/tests/chosen-file-words.ts";

const mostBytes = 80 * 1024 * 1024;
const bytesOf = (text: string): Uint8Array => new TextEncoder().encode(text);

describe("chosenFileTrouble", () => {
  it.each([
    ["nothing in it", "", 0, "file-empty"],
    ["a PDF, by its first line (ISO 32000-1, 7.5.2)", "%PDF-1.7", 5000, "file-pdf"],
    ["one byte too many", "\xff\xd8\xff", mostBytes + 1, "file-too-large"],
  ])("with %s, says so", (_, start, sizeBytes, code) => {
    expect(chosenFileTrouble({ sizeBytes, firstBytes: bytesOf(start), mostBytes })?.code).toBe(code);
  });

  it("with as many bytes as may be sent, and not a PDF, finds nothing: what it is, the server tells", () => {
    expect(chosenFileTrouble({ sizeBytes: mostBytes, firstBytes: bytesOf("PDF-"), mostBytes })).toBeNull();
  });
});

describe("pictureSizeDoubt", () => {
  it("of a picture 799 pixels long doubts it, of one 800 long in either direction does not", () => {
    expect(pictureSizeDoubt({ width: 799, height: 600 })).toEqual({ code: "picture-small", width: 799, height: 600 });
    expect(pictureSizeDoubt({ width: 800, height: 60 })).toBeNull();
    expect(pictureSizeDoubt({ width: 60, height: 800 })).toBeNull();
    expect(chosenFileSentence({ code: "picture-small", width: 640, height: 200 })).toContain("640 × 200");
  });
});

describe("what a picture is meant to show", () => {
  it("a plain sheet without blue and a further picture taken darker are as they should be; a small one is not", () => {
    expect(isDoubtOf("print", { code: "picture-without-blue" })).toBe(true);
    expect(isDoubtOf("plain-sheet", { code: "picture-without-blue" })).toBe(false);
    expect(isDoubtOf("print", { code: "picture-dark" })).toBe(true);
    expect(isDoubtOf("same-print", { code: "picture-dark" })).toBe(false);
    for (const shows of ["print", "same-print", "plain-sheet"] as const)
      expect(isDoubtOf(shows, { code: "picture-small" })).toBe(true);
  });
});
