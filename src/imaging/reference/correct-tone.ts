// Bends the picture's tables so that the reference patches in the frame come out as they are.
import { reflectanceFromDensity } from "#shared/density/density-and-reflectance.ts";
import { deepestFilmOnPaper, filmOnPaper } from "#shared/density/film-on-paper.ts";
import { mapPoint } from "#shared/reading/corners/homography.ts";
import { fitToneCorrection, patchTrouble, type PatchTone } from "#shared/reading/camera/tone-reference.ts";
import type { StepLight } from "#shared/reading/light/paper-cells.ts";
import type { ReferenceTrouble, ReferenceWarning } from "#shared/reading/reading-facts.ts";
import type { PointPx, Reference } from "#shared/schema/reading.ts";
import type { Raster } from "#src/imaging/decode/decode.ts";
import type { StripMap } from "#src/imaging/sample.ts";
import { lightOnPatches } from "./light-on-patches.ts";
import { lightOf, measurePatch, type KnownPatch, type MeasuredPatch } from "./measure-patch.ts";

/** Rounds of fitting tone and light in turn; the second hardly moves any more, the third not at all. */
const rounds = 3;
export interface ToneCorrected {
  readonly raster: Raster;
  /** Standard uncertainty (density) that the correction leaves between a step and its paper, by their red light. */
  readonly sigmaBetween: (light: number, paper: number) => number;
  /** Light of the darkest and of the brightest patch. */
  readonly reach: { readonly darkest: number; readonly brightest: number };
}

/**
 * The picture with tables that make its reference patches come out as they are.
 * @param raster picture as decoded
 * @param map between strip and picture
 * @param stepsOf the steps' own light under given tables
 * @returns null, with a warning, when the patches cannot be trusted
 */
export function correctTone(
  raster: Raster,
  map: StripMap,
  stepsOf: (raster: Raster) => readonly StepLight[],
  reference: Reference,
): { readonly tone: ToneCorrected | null; readonly warnings: readonly ReferenceWarning[] } {
  const warnings: ReferenceWarning[] = [];
  const refuse = (why: ReferenceTrouble) => ({
    tone: null,
    warnings: [...warnings, { code: "reference-refused", why } as const],
  });
  const top = raster.bitsPerChannel === 8 ? 255 : 65_535;
  const isOutside = ([x, y]: PointPx) => x < 0 || y < 0 || x >= raster.width || y >= raster.height;
  const isClipped = (patch: MeasuredPatch) =>
    patch.codes.some((codes) => codes.filter((code) => code >= top).length > 0.02 * codes.length);
  const known = knownPatches(reference);
  const tooDense = known.filter(({ isKnown }) => !isKnown).map(({ number }) => number);
  if (tooDense.length > 0) warnings.push({ code: "reference-film-too-dense", patches: tooDense });
  const inside = known.filter(({ at, isKnown }) => isKnown && !isOutside(at));
  const judged = inside.map(({ number, ...patch }) => ({ number, patch: measurePatch(raster, patch) }));
  const patches = judged.filter(({ patch }) => !isClipped(patch)).map(({ patch }) => patch);
  const lost = known
    .filter(({ number, isKnown }) => isKnown && !judged.some((one) => one.number === number && !isClipped(one.patch)))
    .map(({ number }) => number);
  if (patches.length < Math.min(3, known.length)) return refuse({ code: "outside-or-overexposed", patches: lost });
  if (lost.length > 0) warnings.push({ code: "reference-patches-lost", patches: lost });
  const places = patches.map((patch) => mapPoint(map.toStrip, patch.at[0], patch.at[1]));
  let tables = raster.linear;
  let red: Pick<ToneCorrected, "sigmaBetween" | "reach"> | null = null;
  for (let round = 0; round < rounds; round++) {
    const current = { ...raster, linear: tables };
    const lightOn = lightOnPatches(
      current,
      map,
      patches.map((patch) => patch.at),
      places,
      stepsOf(current),
    );
    if (!lightOn.isKnown && round === rounds - 1) warnings.push({ code: "reference-light-unknown" });
    const next: Float32Array[] = [];
    for (let c = 0; c < raster.channels; c++) {
      const tones: PatchTone[] = patches.map((patch, i) => {
        const { light, sigmaShare } = lightOf(
          patch.codes[c]!,
          raster.linear[c]!,
          raster.roundingCodes * (raster.codesPerFileCode ?? 1),
        );
        const even = raster.light?.(patch.at[0], patch.at[1])[c] ?? 1;
        return {
          trueLight: reflectanceFromDensity(patch.density) * even * lightOn.patches[i]!.light[c]!,
          seen: light,
          sigmaShare,
          lightErrors: [...lightOn.patches[i]!.errors, ...patch.errors],
        };
      });
      const correction = fitToneCorrection(tones);
      const trouble = round === rounds - 1 ? patchTrouble(tones, correction) : null;
      if (trouble !== null) return refuse(trouble);
      if (c === 0) {
        const lights = tones.map((tone) => correction.trueLight(tone.seen));
        red = {
          sigmaBetween: correction.sigmaBetween,
          reach: { darkest: Math.min(...lights), brightest: Math.max(...lights) },
        };
      }
      next.push(tableOf(raster.linear[c]!, correction.trueLight));
    }
    tables = next;
  }
  return { tone: { raster: { ...raster, linear: tables }, ...red! }, warnings };
}

/** Patches as they look beside bare paper, with what is not known of all of them together. */
function knownPatches({ patches, filmOnPaper: isFilm }: Reference): (KnownPatch & {
  readonly number: number;
  readonly isKnown: boolean;
})[] {
  return patches.map((patch, i) => {
    const { density, errors } = isFilm === true ? filmOnPaper(patch.density) : { density: patch.density, errors: [] };
    return { density, errors, at: patch.at, number: i + 1, isKnown: isFilm !== true || density <= deepestFilmOnPaper };
  });
}

/** Steps and paper beyond the patches by more than this density are told. */
const beyondDensity = 0.1;

/**
 * What the patches do not reach, so that the camera's curve is guessed there.
 * @param steps red light of every step under the corrected tables
 * @param paper greatest red light of the paper over the strip
 */
export function beyondPatches({ reach }: ToneCorrected, steps: readonly number[], paper: number): ReferenceWarning[] {
  const warnings: ReferenceWarning[] = [];
  const dark = steps.flatMap((red, i) =>
    Math.log10(reach.darkest / Math.max(red, 1e-6)) > beyondDensity ? [i + 1] : [],
  );
  if (dark.length > 0) warnings.push({ code: "reference-too-pale", steps: dark });
  if (Math.log10(paper / reach.brightest) > beyondDensity) warnings.push({ code: "reference-too-dark" });
  return warnings;
}

/** A table bent by a correction, kept from ever falling. */
function tableOf(table: Float32Array, trueLight: (seen: number) => number): Float32Array {
  const bent = Float32Array.from(table, trueLight);
  for (let i = 1; i < bent.length; i++) bent[i] = Math.max(bent[i]!, bent[i - 1]!);
  return bent;
}
