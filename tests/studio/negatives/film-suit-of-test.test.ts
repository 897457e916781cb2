import { describe, expect, it } from "vitest";
import { correctionOfTest } from "#src/studio/negatives/correct.ts";
import { filmSuitOfTest } from "#src/studio/negatives/film-suit-of-test.ts";
import { usualPrint } from "../../support/pictures/printed-strip.ts";
import { saveLevelsTest } from "../../support/studios/levels-test.ts";
import { testApp } from "../../support/test-app.ts";

async function suitFor(filmRange: number) {
  const { store } = testApp();
  const { id } = await saveLevelsTest(store, { model: { ...usualPrint, filmRange } });
  return filmSuitOfTest({ store }, correctionOfTest({ store }, { testId: id, target: "lightness" }));
}

describe("filmSuitOfTest", () => {
  it("of a film far too dense, tells where white begins; without a tablet beside it, no density", async () => {
    const suit = await suitFor(3);
    expect(suit).toMatchObject({ code: "film-dense", excessDensity: null });
    if (suit.code === "film-dense") expect(suit.lessInkShare).toBeGreaterThan(0.3);
  });

  it("of a film too thin, tells the veil and never asks for less ink", async () => {
    expect(await suitFor(0.9)).toMatchObject({ code: "film-short", shortDensity: null });
  });
});
