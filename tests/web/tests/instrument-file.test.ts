// The instrument's file as its program wrote it.
import { describe, expect, it } from "vitest";
import { withInstrumentFile } from "#src/web/tests/instrument-form.ts";

const written = "1.42\r\n1.10\r\n0.62";
const textOf = (bytes: Uint8Array): unknown =>
  withInstrumentFile({}, [{ field: "instrumentFile", bytes }])["instrumentText"];

describe("an instrument's file", () => {
  it.each([
    ["UTF-8", Buffer.from(written)],
    ["UTF-8 with its mark", Buffer.from(`\ufeff${written}`)],
    ["UTF-16, low byte first", Buffer.from(`\ufeff${written}`, "utf16le")],
    ["UTF-16, high byte first", Buffer.from(`\ufeff${written}`, "utf16le").swap16()],
  ])("in %s is the text that was written", (_how, bytes) => {
    expect(textOf(bytes)).toBe(written);
  });
});
