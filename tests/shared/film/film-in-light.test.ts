import { describe, expect, it } from "vitest";
import { filmInLight } from "#shared/film/film-in-light.ts";
import { filmInputSchema, lampInputSchema, type Film, type Lamp } from "#shared/schema/materials.ts";

const kept = { createdAt: "2026-05-01T00:00:00Z", updatedAt: "2026-05-01T00:00:00Z" };
const lamp = (id: string, kind: string): Lamp => ({ ...lampInputSchema.parse({ name: id, kind }), ...kept, id });
const film = (record: object): Film => ({ ...filmInputSchema.parse({ name: "F", ...record }), ...kept, id: "film" });
const [box, twin, diodes] = [lamp("box", "tubes"), lamp("twin", "tubes"), lamp("diodes", "led")];
const lamps = [box, twin, diodes];

describe("a film in the light of a lamp", () => {
  it("when measured under this lamp, is what was measured there, as surely as it was", () => {
    const measured = film({
      baseDensity: 0.1,
      inLights: [{ lampId: "box", baseDensity: 0.17, baseSigmaDensity: 0.01, maxDensity: 1.9 }],
    });
    const lit = filmInLight(measured, box, lamps);
    expect(lit).toMatchObject({ basis: "this-lamp", baseDensity: 0.17, baseSigmaDensity: 0.01, maxDensity: 1.9 });
    expect(lit.commonSigma).toBe(0);
  });

  it("when measured under another lamp of its kind alone, is that, less surely", () => {
    const measured = film({ inLights: [{ lampId: "box", baseDensity: 0.17, baseSigmaDensity: 0.01 }] });
    const lit = filmInLight(measured, twin, lamps);
    expect(lit).toMatchObject({ basis: "lamp-kind", baseDensity: 0.17 });
    expect(lit.baseSigmaDensity!).toBeGreaterThan(0.01);
  });

  it("when measured under lamps of another kind alone, falls back on its one number, less surely still", () => {
    const entry = { lampId: "box", baseDensity: 0.17, baseSigmaDensity: 0.01 };
    const lit = filmInLight(film({ baseDensity: 0.1, baseSigmaDensity: 0.01, inLights: [entry] }), diodes, lamps);
    expect(lit).toMatchObject({ basis: "one-number", baseDensity: 0.1 });
    const alike = filmInLight(film({ inLights: [entry] }), twin, lamps);
    expect(lit.baseSigmaDensity!).toBeGreaterThan(alike.baseSigmaDensity!);
    expect(filmInLight(film({ inLights: [entry] }), diodes, lamps).baseDensity).toBeNull();
  });

  it("when the studio has one kind of light, the one number is of that light", () => {
    const plain = film({ baseDensity: 0.1, baseSigmaDensity: 0.01 });
    expect(filmInLight(plain, box, [box, twin]).baseSigmaDensity).toBeCloseTo(0.01, 12);
    expect(filmInLight(plain, box, lamps).baseSigmaDensity!).toBeGreaterThan(0.02);
  });

  it("when nothing is known, says so", () => {
    expect(filmInLight(film({}), box, lamps)).toMatchObject({ baseDensity: null, maxDensity: null, lampSigma: 0 });
  });

  it("names each light once", () => {
    const twice = { name: "Clear", inLights: [{ lampId: "box" }, { lampId: "box", baseDensity: 0.1 }] };
    expect(filmInputSchema.safeParse(twice).success).toBe(false);
  });
});
