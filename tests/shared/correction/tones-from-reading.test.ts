import { describe, expect, it } from "vitest";
import { tonesFromReading } from "#shared/correction/tones-from-reading.ts";

const codes = (warnings: { code: string; message: string }[]): string[] =>
  tonesFromReading({ steps: [], warnings }).warnings.map(({ code }) => code);

describe("tonesFromReading", () => {
  it("of a camera's picture without grey scale, or of one without profile, says that middle tones may be off", () => {
    expect(codes([{ code: "tone-unchecked", message: "" }])).toContain("tones-by-camera");
    expect(codes([{ code: "profile-missing", message: "" }])).toContain("tones-by-camera");
  });

  it("of a scan with its profile, does not", () => {
    expect(codes([])).not.toContain("tones-by-camera");
  });
});
