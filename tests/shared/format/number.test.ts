import { describe, expect, it } from "vitest";
import { formatFixed, writtenFigures } from "#shared/format/number.ts";

describe("writtenFigures", () => {
  it.each([
    [0.0123456, 4, "0.01235"],
    [25, 3, "25"],
    [1234.5, 3, "1230"],
    [0.1 + 0.2, 6, "0.3"],
  ] as const)("%f to %i figures is %s", (value, figures, text) => {
    expect(writtenFigures(value, figures)).toBe(text);
  });
});

describe("formatFixed", () => {
  it("when a small minus rounds to nothing, shows no sign", () => {
    expect(formatFixed(-0.004, 2)).toBe("0.00");
    expect(formatFixed(-0.006, 2)).toBe("\u22120.01");
  });
});
