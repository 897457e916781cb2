// The blues of a print as they were measured: its tones from paper to the deepest, and what colours a page by them.
import { luminanceFromLinearSrgb, linearFromSrgb, srgbFromLinear } from "#shared/density/srgb.ts";
import { linearSrgbFromOklch, oklchFromLinearSrgb } from "#shared/density/oklab.ts";
import type { ReadingStep } from "#shared/schema/reading.ts";
import { bisection } from "#shared/statistics/bisection.ts";

type Rgb = readonly [number, number, number];

export interface OwnBlues {
  /** Nine tones from bare paper to the deepest blue in even steps of L*, each as `#rrggbb`. */
  readonly tones: readonly string[];
  /** L* of the deepest beside its paper. */
  readonly deepestLightness: number;
  /** Hue [°] and chroma of the deepest (Oklab). */
  readonly hueDegrees: number;
  readonly chroma: number;
}

/** Tones told of a print. */
const toneCount = 9;
/** Fewer good steps than this tell no scale of tones. Common practice, no source. */
const fewestSteps = 4;
/** A step must be this much darker than paper (red density) before its hue is one. Common practice, no source. */
const leastDensity = 0.5;
/** Hues that are called blue, and the least chroma. Source: common practice, no source. */
const blue = { from: 200, to: 300, leastChroma: 0.03 };
/** Flags of steps whose colour is not the print's. */
const unfit: readonly string[] = ["left-out", "clipped", "crushed", "out-of-gamut"];

interface ColouredStep {
  readonly lightness: number;
  readonly densities: Rgb;
}

/**
 * The blues of a print, from the densities of its steps in three channels.
 * @param steps as read; those without green and blue density (older readings, grey pictures) tell nothing
 * @param paper what bare paper is shown as, `#rrggbb`: the print's own paper is white to its reading
 * @returns null where the steps tell no blue: too few, too pale, or toned to another hue
 * Source: density-definition; hue and chroma ottosson-2020
 */
export function ownBlues(steps: readonly ReadingStep[], paper: string): OwnBlues | null {
  const coloured = steps
    .flatMap((step): ColouredStep[] =>
      step.green === undefined || step.blue === undefined || step.flags.some((flag) => unfit.includes(flag))
        ? []
        : [{ lightness: step.lightness, densities: [step.red, step.green, step.blue] }],
    )
    .sort((a, b) => b.lightness - a.lightness);
  const deepest = coloured.at(-1);
  if (deepest === undefined || coloured.length < fewestSteps || deepest.densities[0] < leastDensity) return null;
  const { chroma, hueDegrees } = oklchFromLinearSrgb(lightOf(deepest.densities, "#ffffff"));
  if (chroma < blue.leastChroma || hueDegrees < blue.from || hueDegrees > blue.to) return null;
  const scale = [{ lightness: 100, densities: [0, 0, 0] as const }, ...coloured];
  const tones = Array.from({ length: toneCount }, (_, tone) =>
    hexFromLinear(lightOf(densitiesAt(scale, 100 - (tone / (toneCount - 1)) * (100 - deepest.lightness)), paper)),
  );
  return { tones, deepestLightness: deepest.lightness, hueDegrees, chroma };
}

/** Densities at an L*, between the two steps beside it. */
function densitiesAt(scale: readonly ColouredStep[], lightness: number): Rgb {
  const below = scale.findIndex((step) => step.lightness <= lightness);
  const [lighter, darker] = [scale[Math.max(0, below - 1)], scale[below] ?? scale.at(-1)];
  if (lighter === undefined || darker === undefined) return [0, 0, 0];
  const stretch = lighter.lightness - darker.lightness;
  const share = stretch > 0 ? (lighter.lightness - lightness) / stretch : 1;
  const [from, to] = [lighter.densities, darker.densities];
  const between = (channel: 0 | 1 | 2): number => from[channel] + share * (to[channel] - from[channel]);
  return [between(0), between(1), between(2)];
}

function lightOf([red, green, blueDensity]: Rgb, paper: string): Rgb {
  const [r, g, b] = linearFromHex(paper);
  return [r * 10 ** -red, g * 10 ** -green, b * 10 ** -blueDensity];
}

/**
 * A colour of the house in the hue of a print, as light or dark as before: each contrast of the page stays what it was.
 * @param house `#rrggbb`
 * @returns `#rrggbb` of the same luminance within one code, as colourful as the print but near the house's own measure
 * Source: ottosson-2020; luminance iec-61966-2-1
 */
export function inTheHueOf({ hueDegrees, chroma }: OwnBlues, house: string): string {
  const linear = linearFromHex(house);
  const luminance = luminanceFromLinearSrgb(...linear);
  const own = oklchFromLinearSrgb(linear).chroma;
  let wanted = Math.min(Math.max(chroma, mostGreyer * own), mostBrighter * own);
  for (;;) {
    const at = { chroma: wanted, hueDegrees };
    const { middle } = bisection({
      low: 0,
      high: 1,
      isBelow: (lightness) => luminanceFromLinearSrgb(...linearSrgbFromOklch({ ...at, lightness })) < luminance,
      width: 1e-6,
    });
    const found = linearSrgbFromOklch({ ...at, lightness: middle });
    if (wanted < 1e-3 || found.every((channel) => channel > -1e-3 && channel < 1.001)) return hexFromLinear(found);
    // sRGB holds no colour so strong at this lightness.
    wanted *= 0.95;
  }
}

/** How much greyer and how much stronger than the house's own colour, as shares. Source: common practice, no source. */
const mostGreyer = 0.7;
const mostBrighter = 1.3;

function linearFromHex(hex: string): Rgb {
  const channel = (at: number): number => linearFromSrgb(Number.parseInt(hex.slice(at, at + 2), 16) / 255);
  return [channel(1), channel(3), channel(5)];
}

function hexFromLinear(linear: Rgb): string {
  const code = (channel: number): string =>
    Math.round(255 * srgbFromLinear(Math.min(1, Math.max(0, channel))))
      .toString(16)
      .padStart(2, "0");
  return `#${linear.map(code).join("")}`;
}
