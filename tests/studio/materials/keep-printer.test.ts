import { describe, expect, it } from "vitest";
import { addPrinter, changePrinter, removePrinter } from "#src/studio/materials/keep-printer.ts";
import { correctionOfTest } from "#src/studio/negatives/correct.ts";
import { forWriting } from "#src/studio/tools.ts";
import { filmInputSchema } from "#shared/schema/materials.ts";
import { saveLevelsTest } from "../../support/studios/levels-test.ts";
import { testApp } from "../../support/test-app.ts";

describe("a printer of film", () => {
  it("is kept with its settings and chosen by its films, whose curves then name it", async () => {
    const { store } = testApp();
    const { id: testId } = await saveLevelsTest(store);
    const { filmId } = store.tests.get(testId).request;
    const printer = addPrinter(
      { store },
      { name: "Wide one", mediaSetting: "film, best", dpi: 720, inks: "eight", filmIds: filmId ? [filmId] : [] },
    );
    expect(printer).toMatchObject({ dpi: 720, ink: { red: 0, green: 0, blue: 0 } });
    if (!filmId) throw new Error("the test has no film");
    expect(store.films.get(filmId).printerId).toBe(printer.id);
    const { calibration } = correctionOfTest({ store }, { testId, target: "lightness" });
    expect(calibration.device).toBe("Wide one");
    const changed = changePrinter({ store }, printer.id, { ink: { red: 0, green: 255, blue: 0 } });
    expect(changed).toMatchObject({ name: "Wide one", ink: { green: 255 } });
    expect(store.films.get(filmId).printerId).toBe(printer.id);
    const film = forWriting(store).films.create(filmInputSchema.parse({ name: "Another" }));
    changePrinter({ store }, printer.id, { filmIds: [film.id] });
    expect(store.films.get(filmId).printerId).toBeNull();
    removePrinter({ store }, printer.id);
    expect(store.films.get(film.id).printerId).toBeNull();
    expect(store.printers.list()).toEqual([]);
  });

  it("changed meanwhile by another device, or for an unknown film, is refused", () => {
    const { store } = testApp();
    const printer = addPrinter({ store }, { name: "Small one" });
    expect(() =>
      changePrinter({ store }, printer.id, { name: "x" }, { seenVersion: "2001-01-01T00:00:00Z" }),
    ).toThrow();
    expect(() => addPrinter({ store }, { name: "Third", filmIds: ["none"] })).toThrow("no film");
    expect(store.printers.list()).toHaveLength(1);
  });
});
