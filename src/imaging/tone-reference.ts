// Measures the reference patches in the frame and bends the picture's tables so that they come out as they are.
import { reflectanceFromDensity } from "#shared/density/density-and-reflectance.ts";
import { cellStatistics } from "#shared/reading/light/cell-statistics.ts";
import { middleAndSpread } from "#shared/statistics/robust.ts";
import { medianInPlace } from "#shared/statistics/value-at-rank.ts";
import { mapPoint } from "#shared/reading/corners/homography.ts";
import { fitLightField, type PaperCell } from "#shared/reading/light/light-field.ts";
import { cellsOfOneSurface } from "#shared/reading/light/one-surface.ts";
import { choosePaper, type MarginCell, type StepLight } from "#shared/reading/light/paper-cells.ts";
import { fitToneCorrection, patchTrouble, type PatchTone } from "#shared/reading/camera/tone-reference.ts";
import type { ReferenceTrouble, ReferenceWarning } from "#shared/reading/reading-facts.ts";
import type { PointPx, Reference } from "#shared/schema/reading.ts";
import type { Raster } from "./decode/decode.ts";
import { pixelsOfCell, type StripMap } from "./sample.ts";

/** Rings looked at round the middle of a patch [px]. */
const ringRadii = [4, 6, 8, 11, 15, 20, 27, 36, 48, 64, 90, 120];
/** The tone of the patch is that of its middle [px]; a hair there is outvoted. */
const coreRadius = 5;
/** A ring belongs to the patch while its codes stay within this share of the scale. */
const sameToneShare = 0.035;
/** Share of the patch's own size that is measured: its edges are blurred. */
const usedShare = 0.65;

interface MeasuredPatch {
  readonly density: number;
  readonly at: PointPx;
  readonly codes: readonly (readonly number[])[];
}

/** Codes of a disc, channel by channel. */
function codesOfDisc(raster: Raster, [x, y]: PointPx, inner: number, outer: number): number[][] {
  const codes: number[][] = Array.from({ length: raster.channels }, () => []);
  for (let py = Math.max(0, Math.floor(y - outer)); py <= Math.min(raster.height - 1, y + outer); py++) {
    for (let px = Math.max(0, Math.floor(x - outer)); px <= Math.min(raster.width - 1, x + outer); px++) {
      const r = Math.hypot(px + 0.5 - x, py + 0.5 - y);
      if (r < inner || r > outer) continue;
      for (let c = 0; c < raster.channels; c++)
        codes[c]!.push(raster.data[(py * raster.width + px) * raster.channels + c]!);
    }
  }
  return codes;
}

const middle = (values: readonly number[]) => medianInPlace(Float64Array.from(values));

/** Measures one patch by growing from its middle as long as the tone stays. */
function measurePatch(raster: Raster, density: number, at: PointPx): MeasuredPatch {
  const scale = raster.bitsPerChannel === 8 ? 255 : 65_535;
  const core = codesOfDisc(raster, at, 0, coreRadius).map(middle);
  let radius = ringRadii[0]!;
  for (let i = 1; i < ringRadii.length; i++) {
    const ring = codesOfDisc(raster, at, ringRadii[i - 1]!, ringRadii[i]!);
    if (ring.some((codes) => codes.length === 0)) break;
    if (
      ring.some((codes, c) => {
        const limit = sameToneShare * scale;
        const strays =
          codes.filter((code) => Math.abs(code - core[c]!) > limit + 0.25 * core[c]!).length / codes.length;
        return Math.abs(middle(codes) - core[c]!) > limit || strays > 0.12;
      })
    )
      break;
    radius = ringRadii[i]!;
  }
  return { density, at, codes: codesOfDisc(raster, at, 0, Math.max(2, usedShare * radius)) };
}

/**
 * Light of one channel of a patch under a table, robust, and its relative uncertainty, the file format's rounding
 * included.
 */
function lightOf(
  codes: readonly number[],
  table: Float32Array,
  roundingCodes: number,
): { light: number; sigmaShare: number } {
  const values = Float64Array.from(codes, (code) => table[code]!);
  const { middle: centre, spread } = middleAndSpread(values);
  const kept = values.filter((value) => Math.abs(value - centre) <= 4 * Math.max(spread, 1e-4));
  const mean = kept.reduce((sum, value) => sum + value, 0) / kept.length;
  const code = Math.min(Math.round(middle(codes)), table.length - 2);
  const rounding = roundingCodes * (table[code + 1]! - table[code]!);
  return {
    light: mean,
    sigmaShare: mean > 0 ? Math.hypot(spread / Math.sqrt(Math.max(1, kept.length / 10)), rounding) / mean : 1,
  };
}

/**
 * Patches often lie on a card of their own, which is not the print's paper: so many spacings round each are left out,
 */
const cardReach = 1.05;
/** but no more than so many heights of the strip, since single patches may lie far apart. */
const mostCardReach = 1.2;

const apart = (a: PointPx, b: PointPx) => Math.hypot(a[0] - b[0], a[1] - b[1]);

/** Height and length of the strip through its middle [px]. */
const stripSize = ({ toPicture }: StripMap) => ({
  height: apart(mapPoint(toPicture, 0.5, 0), mapPoint(toPicture, 0.5, 1)),
  length: apart(mapPoint(toPicture, 0, 0.5), mapPoint(toPicture, 1, 0.5)),
});

/**
 * Whether a place of the strip's plane may lie on the card of the patches.
 * @param patches places of the patches in the picture, two or more
 */
export function isOnCard(map: StripMap, patches: readonly PointPx[]): (u: number, v: number) => boolean {
  const spacing = middle(patches.map((a) => Math.min(...patches.filter((b) => b !== a).map((b) => apart(a, b)))));
  const reach = Math.min(cardReach * spacing, mostCardReach * stripSize(map).height);
  return (u, v) => patches.some((patch) => apart(patch, mapPoint(map.toPicture, u, v)) < reach);
}

/** Paper over the whole area of strip and patches, on a coarse grid. */
function widePaper(
  raster: Raster,
  map: StripMap,
  patches: readonly PointPx[],
  steps: readonly StepLight[],
): { cells: readonly PaperCell[]; toUnit: (u: number, v: number) => readonly [number, number] } {
  const places = patches.map((at) => mapPoint(map.toStrip, at[0], at[1]));
  const onCard = isOnCard(map, patches);
  const [us, vs] = [places.map((p) => p[0]), places.map((p) => p[1])];
  const [u0, u1, v0, v1] = [
    Math.min(-0.1, ...us.map((u) => u - 0.05)),
    Math.max(1.1, ...us.map((u) => u + 0.05)),
    Math.min(-0.6, ...vs.map((v) => v - 0.5)),
    Math.max(1.6, ...vs.map((v) => v + 0.5)),
  ];
  const columns = 16;
  const rows = Math.min(16, Math.ceil((v1 - v0) / 0.4));
  const margin: MarginCell[] = [];
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      const [u, v] = [u0 + ((u1 - u0) * (column + 0.5)) / columns, v0 + ((v1 - v0) * (row + 0.5)) / rows];
      if (v > -0.15 && v < 1.15 && u > -0.05 && u < 1.05) continue;
      if (onCard(u, v)) continue;
      const half = { u: (0.3 * (u1 - u0)) / columns, v: (0.3 * (v1 - v0)) / rows };
      const pixels = pixelsOfCell(
        raster,
        map,
        { u0: u - half.u, u1: u + half.u, v0: v - half.v, v1: v + half.v },
        { tilesU: 4, tilesV: 4 },
      );
      const statistics = cellStatistics(pixels);
      if (statistics === null || !(statistics.mean[0] > 0)) continue;
      margin.push({
        u,
        v,
        band: `${row} ${column}`,
        mean: statistics.mean,
        sigma: statistics.sigma[0] / statistics.mean[0],
        spreadShare: statistics.tileSpreadShare,
        insideShare: pixels.insideShare,
        clippedShare: pixels.clippedShare,
      });
    }
  }
  const toUnit = (u: number, v: number) => [(u - u0) / (u1 - u0), (v - v0) / (v1 - v0)] as const;
  const { height, length } = stripSize(map);
  const cells = cellsOfOneSurface(choosePaper(margin, steps, raster.channels === 3).paper, height / length).map(
    (cell) => {
      const [u, v] = toUnit(cell.u, cell.v);
      return { ...cell, u, v };
    },
  );
  return { cells, toUnit };
}

/** Rounds of fitting tone and light in turn; the second hardly moves any more, the third not at all. */
const rounds = 3;
/** Fewest patches of paper that say how the light on the patches differs from that on the strip. */
const fewestPaperCells = 8;
/**
 * Without them: how far the light may differ over the row of patches (natural logarithm).
 * Source: common practice, no source.
 */
const unknownLight = 0.1;

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
  const inside = reference.patches.map((patch, i) => ({ ...patch, number: i + 1 })).filter(({ at }) => !isOutside(at));
  const judged = inside.map(({ density, at, number }) => ({ number, patch: measurePatch(raster, density, at) }));
  const patches = judged.filter(({ patch }) => !isClipped(patch)).map(({ patch }) => patch);
  if (patches.length < reference.patches.length) {
    const lost = reference.patches
      .map((_, i) => i + 1)
      .filter((number) => !judged.some((one) => one.number === number && !isClipped(one.patch)));
    if (patches.length < Math.min(3, reference.patches.length))
      return refuse({ code: "outside-or-overexposed", patches: lost });
    warnings.push({ code: "reference-patches-lost", patches: lost });
  }
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
          lightErrors: lightOn.patches[i]!.errors,
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

interface LightOnPatches {
  readonly patches: readonly { readonly light: readonly number[]; readonly errors: readonly number[] }[];
  readonly isKnown: boolean;
}

/** Light that falls on each patch beside that on the strip's middle, and its errors, by the paper round both. */
function lightOnPatches(
  raster: Raster,
  map: StripMap,
  patches: readonly PointPx[],
  places: readonly (readonly [number, number])[],
  steps: readonly StepLight[],
): LightOnPatches {
  const wide = widePaper(raster, map, patches, steps);
  if (wide.cells.length < fewestPaperCells) {
    return {
      isKnown: false,
      patches: patches.map((_, i) => ({
        light: [1, 1, 1],
        errors: [unknownLight * ((2 * i) / (patches.length - 1) - 1)],
      })),
    };
  }
  const field = fitLightField(wide.cells, { aspect: 1 });
  const strip = wide.toUnit(0.5, 0.5);
  const [logAtStrip, errorsAtStrip] = [field.logAt(...strip), field.errorsAt(...strip)];
  return {
    isKnown: true,
    patches: places.map((place) => {
      const at = wide.toUnit(place[0], place[1]);
      return {
        light: field.logAt(...at).map((log, c) => Math.exp(log - logAtStrip[c]!)),
        errors: field.errorsAt(...at).map((error, k) => error - errorsAtStrip[k]!),
      };
    }),
  };
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
