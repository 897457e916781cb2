// Whether the film of a sheet or strip suits its coating, in figures.
import { filmSuit } from "#shared/correction/film-suit.ts";
import type { FilmSuit } from "#shared/schema/correction.ts";
import { filmOfTest } from "#src/studio/materials/measure-film.ts";
import type { Tools } from "#src/studio/tools.ts";
import type { TestCorrection } from "./correct.ts";

/** Figures from the tones of a correction; with a tablet printed beside the sheet also in density. */
export function filmSuitOfTest(
  { store }: Pick<Tools, "store">,
  { test, correction }: Pick<TestCorrection, "test" | "correction">,
): FilmSuit {
  const film = filmOfTest({ store }, test.id);
  const curve = film === null ? null : store.tests.get(film.throughTestId).curve;
  const lightest = [...test.reading.steps].sort((a, b) => a.input - b.input).at(-1);
  return filmSuit({
    tones: correction.tones,
    lightness: correction.measured.lightness,
    isVeilKnown: test.reading.sheet?.zero?.of !== "own-white",
    film,
    coating:
      curve === null || lightest === undefined
        ? null
        : { curve, lightestDensity: curve.channel === "red" ? lightest.red : lightest.visual },
  });
}
