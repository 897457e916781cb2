import { describe, expect, it } from "vitest";
import { correctionFromTones } from "#shared/correction/correction.ts";
import { numberIn, referenceTable } from "../../support/reference-table.ts";

const rows = referenceTable("tone-ramp-offset", 129).map((row) => ({
  dataset: row["dataset"],
  ink: row["ink"],
  toneValue: numberIn(row, "tone_value_percent"),
  Y: numberIn(row, "Y"),
  density: numberIn(row, "density_above_paper"),
  area: numberIn(row, "murray_davies_area_percent"),
}));

/** CIE 1976 L* of Y in percent of the perfect diffuser. */
function lightness(Y: number): number {
  return Y > (100 * 216) / 24_389 ? 116 * Math.cbrt(Y / 100) - 16 : (24_389 / 2700) * Y;
}

const blackRamps = [...new Set(rows.map((row) => row.dataset))].map((dataset) => ({
  dataset,
  ramp: rows.filter((row) => row.dataset === dataset && row.ink === "K"),
}));

describe("correction on published offset ramps", () => {
  it("has every published black ramp", () => {
    expect(blackRamps.map(({ dataset, ramp }) => [dataset, ramp.length])).toEqual([
      ["FOGRA39L", 21],
      ["FOGRA47L", 21],
      ["FOGRA29L", 21],
    ]);
  });

  it.each(blackRamps)("for $dataset, sends the tone value that was published for the tone wanted", ({ ramp }) => {
    const tones = ramp.map((row) => ({
      level: 255 * (1 - row.toneValue / 100),
      lightness: lightness(row.Y),
      density: row.density,
      sigma: 0.002,
    }));
    const { levels } = correctionFromTones({ tones, target: "lightness" });
    const darkest = lightness(ramp.at(-1)!.Y);
    const paper = lightness(ramp[0]!.Y);
    for (const row of ramp) {
      const wanted = (255 * (lightness(row.Y) - darkest)) / (paper - darkest);
      const below = Math.floor(Math.min(254, wanted));
      const sent = levels[below]! + (wanted - below) * (levels[below + 1]! - levels[below]!);
      expect(Math.abs(100 * (1 - sent / 255) - row.toneValue), `${row.toneValue} %`).toBeLessThan(1);
    }
  });

  it.each(blackRamps)(
    "for $dataset, a target of even Murray-Davies area takes the published tone value increase back",
    ({ ramp }) => {
      const tones = ramp.map((row) => ({
        level: 255 * (1 - row.toneValue / 100),
        lightness: lightness(row.Y),
        density: row.density,
        sigma: 0.002,
      }));
      const darkest = lightness(ramp.at(-1)!.Y);
      const paper = lightness(ramp[0]!.Y);
      const areaPercents = Array.from({ length: 21 }, (_, index) => 100 - 5 * index);
      // Murray-Davies turned round: reflectance between solid and paper for an area.
      const points = areaPercents.map((area) => {
        const Y = ramp[0]!.Y - (area / 100) * (ramp[0]!.Y - ramp.at(-1)!.Y);
        return {
          level: 255 * (1 - area / 100),
          percent: Math.min(100, Math.max(0, (100 * (lightness(Y) - darkest)) / (paper - darkest))),
        };
      });
      const { levels } = correctionFromTones({ tones, target: { points } });
      for (const row of ramp.filter(({ area }) => area > 5 && area < 98)) {
        const wanted = 255 * (1 - row.area / 100);
        const below = Math.floor(wanted);
        const sent = levels[below]! + (wanted - below) * (levels[below + 1]! - levels[below]!);
        expect(Math.abs(100 * (1 - sent / 255) - row.toneValue), `area ${row.area} %`).toBeLessThan(1.5);
      }
    },
  );
});
