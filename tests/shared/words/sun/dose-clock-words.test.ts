import { describe, expect, it } from "vitest";
import { hiddenWords, isUnbelievable, overdueWords, unbelievableWords } from "#shared/words/sun/dose-clock-words.ts";

const at = (ms: number): string => `${ms / 60_000} past`;
const minutes = (count: number): number => count * 60_000;

describe("words of the dose clock", () => {
  it("when overdue, says since when, by how much light and how many stops", () => {
    const words = overdueWords({ reachedMs: minutes(27), share: 2.5 }, minutes(36), at);
    expect(words).toBe("since 27 past, 9 min over: 250 % of the light it wants, about 1.3 stops too much");
    expect(overdueWords({ reachedMs: minutes(27), share: 1.01 }, minutes(27.2), at)).toContain("just had its light");
  });

  it("under a hidden sun, tells both ends", () => {
    const reading = { bringInIfClearMs: minutes(50), bringInMs: null, shareAtSunset: 0.83 };
    expect(hiddenWords(reading, at)).toBe("that is at 50 past; if it stays hidden: 83 % of its light at sunset");
  });

  it("doubts a frame that had twenty times its light, and none that had three quarters", () => {
    expect(isUnbelievable(21.49)).toBe(true);
    expect(isUnbelievable(0.3)).toBe(true);
    expect(isUnbelievable(0.75)).toBe(false);
    expect(unbelievableWords(21.49, 8220)).toContain("2149 %");
  });
});
