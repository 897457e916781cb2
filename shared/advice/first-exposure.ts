// How long a first test is laid under a light that nothing is known of yet: from what such lights usually need, with
// its chance.
import { isDaylight } from "#shared/lamp/daylight.ts";
import type { Lamp } from "#shared/schema/materials.ts";
import { distanceChange, shapeOfLamp, type LampShape } from "#shared/lamp/distance-change.ts";
import { normalShareBelow, rangeSigmas } from "#shared/statistics/normal-distribution.ts";
import { sceneFrom } from "#shared/sun/sky/scene.ts";
import { sunDirection } from "#shared/sun/sky/sun-position.ts";
import { printingStrength, readyScene, strengthUnderSun } from "#shared/sun/sky/printing-strength.ts";
import { earthSunFactor } from "#shared/sun/sky/atmosphere.ts";
import { lowestUsefulHeightDegrees } from "#shared/sun/sun-day.ts";
import { neededMarginLogH } from "./next-test.ts";

/** Kinds of light that a first test is made under. */
export type FirstLight = Lamp["kind"];

interface UsualLight {
  /** Times of a full blue of which 95 of 100 coatings need one between [min]. */
  readonly lowerMinutes: number;
  readonly upperMinutes: number;
  /** Distance that they hold for; 0 for the sky [mm]. */
  readonly distanceMm: number;
  /** A common size of such a light, where its own is not known. */
  readonly shape: LampShape | null;
}

const usualPanel: LampShape = { kind: "panel", widthMm: 400, heightMm: 500 };

/**
 * What prints usually need through a tablet's clear end, under the sun 60° high. Source: common practice, no source
 * (from memory; widths are those of a guess).
 */
const usualLights: Readonly<Record<FirstLight, UsualLight>> = {
  tubes: { lowerMinutes: 4, upperMinutes: 16, distanceMm: 100, shape: usualPanel },
  led: { lowerMinutes: 2, upperMinutes: 10, distanceMm: 150, shape: usualPanel },
  panel: { lowerMinutes: 4, upperMinutes: 20, distanceMm: 100, shape: usualPanel },
  point: { lowerMinutes: 5, upperMinutes: 30, distanceMm: 400, shape: { kind: "point" } },
  sun: { lowerMinutes: 3, upperMinutes: 12, distanceMm: 0, shape: null },
  shade: { lowerMinutes: 12, upperMinutes: 60, distanceMm: 0, shape: null },
  other: { lowerMinutes: 3, upperMinutes: 30, distanceMm: 150, shape: null },
};

/** Height of the sun that the times of sun and shade hold for [°]. */
const usualSunHeightDegrees = 60;

/** Lengths that a clock is set to [min]. */
const clockMinutes = [2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60, 80, 100, 120, 150, 180, 240];

/** A first test should come out in four cases of five. Source: common practice, no source */
const wantedChance = 0.8;

/** Log exposure range that the tablet must show below the shoulder [log10]. Source: from memory (ranges of 1.0-1.6). */
const neededRangeLogH = 1.6;

/** Steps of the tablet or strip: density or log exposure from the clearest to the densest step. */
export interface TabletSpan {
  /** Density over the clearest step; 0 for a strip that was uncovered. */
  readonly clearDensity: number;
  /** From the clearest to the densest step [log10]. */
  readonly spanLogH: number;
}

/** What is usually needed under a light: middle and width of a guess of log10 of the time. */
export interface UsualTime {
  readonly seconds: number;
  readonly lowerSeconds: number;
  readonly upperSeconds: number;
  readonly sigmaLogH: number;
}

/**
 * Time of a full blue that prints usually need under a lamp, at its distance, before any test.
 * @param lamp kind, and what is known of its size
 * @param distanceMm from the lamp to the print; the usual one when absent [mm]
 * @param strength of the sun or shade against the sun 60° high, above 0; of no meaning for a lamp
 * @returns seconds with a 95 % range, which is that of a guess
 * Source: common practice, no source; LampGeometry for the distance, BirdRiordan1986 for the sun.
 */
export function usualTime(
  lamp: Pick<Lamp, "kind"> & Partial<Pick<Lamp, "widthMm" | "heightMm" | "tubeCount">>,
  { distanceMm, strength = 1 }: { readonly distanceMm?: number | undefined; readonly strength?: number } = {},
): UsualTime {
  const usual = usualLights[lamp.kind];
  const lower = Math.log10(usual.lowerMinutes * 60);
  const upper = Math.log10(usual.upperMinutes * 60);
  const isSky = isDaylight(lamp.kind);
  const change =
    isSky || distanceMm === undefined
      ? null
      : distanceChange({
          shape: shapeOfLamp(lamp) ?? usual.shape,
          fromMm: usual.distanceMm,
          toMm: distanceMm,
          measuredMm: [distanceMm],
        });
  const middle = (lower + upper) / 2 + (change?.shiftLogH ?? 0) - (isSky ? Math.log10(strength) : 0);
  const sigmaLogH = Math.hypot((upper - lower) / 2 / rangeSigmas, change?.sigmaLogH ?? 0);
  return {
    seconds: 10 ** middle,
    lowerSeconds: 10 ** (middle - rangeSigmas * sigmaLogH),
    upperSeconds: 10 ** (middle + rangeSigmas * sigmaLogH),
    sigmaLogH,
  };
}

/** The sun at noon of a day, against the sun 60° high. */
export interface NoonSun {
  readonly heightDegrees: number;
  /** 1 under the sun 60° high; null when it stands too low at noon to print by. */
  readonly strength: number | null;
}

/**
 * How strongly the sun prints at noon, or open shade does, on a frame that lies flat under a clear sky.
 * @param latitude north positive [°]
 * @param atMs about the noon of the day, UTC [ms since 1970]
 * Source: BirdRiordan1986 and ActionSpectrumModel.
 */
export function noonSun(light: "sun" | "shade", latitude: number, atMs: number): NoonSun {
  const ready = readyScene(
    sceneFrom({
      latitude,
      longitude: 0,
      tiltDegrees: 0,
      facingDegrees: 0,
      sky: light === "shade" ? "open-shade" : "clear",
    }),
  );
  const day = Math.floor(atMs / 86_400_000) * 86_400_000;
  // On the meridian of Greenwich the true noon lies within 17 minutes of twelve o'clock.
  const noonMs = day + 43_200_000;
  const heightDegrees = 90 - sunDirection({ latitude, longitude: 0 }, noonMs).zenithDegrees;
  const standard = strengthUnderSun(
    ready,
    { zenithDegrees: 90 - usualSunHeightDegrees, azimuthDegrees: 180 },
    earthSunFactor(1),
  );
  const strength = printingStrength(ready, noonMs) / standard;
  return { heightDegrees, strength: heightDegrees < lowestUsefulHeightDegrees ? null : strength };
}

/** Print times that a test of one length finds. */
export interface FoundTimes {
  readonly lowerSeconds: number;
  readonly upperSeconds: number;
}

/**
 * Which print times a test finds: the clearest step must lie past the shoulder, and the tones below it on the tablet.
 * @param seconds whole exposure of the test, or of its longest step [s]
 */
export function foundTimes(seconds: number, { clearDensity, spanLogH }: TabletSpan): FoundTimes {
  const throughClear = seconds * 10 ** -clearDensity;
  const upperSeconds = throughClear * 10 ** -neededMarginLogH;
  const lowerSeconds = throughClear * 10 ** (neededRangeLogH - spanLogH);
  return { lowerSeconds: Math.min(lowerSeconds, upperSeconds), upperSeconds };
}

export interface FirstExposure {
  readonly seconds: number;
  readonly found: FoundTimes;
  /** That the print time lies in what the test finds, 0-1, as far as the guess of usual times holds. */
  readonly chance: number;
}

function chanceOf(found: FoundTimes, usual: UsualTime): number {
  const below = (seconds: number): number => normalShareBelow(Math.log10(seconds / usual.seconds) / usual.sigmaLogH);
  return below(found.upperSeconds) - below(found.lowerSeconds);
}

/**
 * The first test under a light: the shortest that comes out in four cases of five, or the likeliest where none does.
 * @param lengths that are offered [s]; those of a clock when absent
 */
export function firstExposure(
  usual: UsualTime,
  tablet: TabletSpan,
  lengths: readonly number[] = clockMinutes.map((minutes) => minutes * 60),
): FirstExposure {
  const offered = [...lengths]
    .sort((a, b) => a - b)
    .map((seconds) => {
      const found = foundTimes(seconds, tablet);
      return { seconds, found, chance: chanceOf(found, usual) };
    });
  const likeliest = offered.reduce((best, each) => (each.chance > best.chance ? each : best));
  return offered.find(({ chance }) => chance >= wantedChance) ?? likeliest;
}

/** Distance that the usual times of a kind of light hold for; null for the sky [mm]. */
export function usualDistanceMm(kind: FirstLight): number | null {
  return usualLights[kind].distanceMm || null;
}
