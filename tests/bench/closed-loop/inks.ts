// An ink sheet through a simulated printer with black and coloured inks: is the advice in the right direction?
import { inkAnswer } from "#shared/film/ink-answer.ts";
import type { FilmInkName, InkAnswer } from "#shared/schema/ink.ts";
import { filmInks, inkMask, inkNamed, inkSheetOptions, sentInk } from "#shared/tablet/film-inks.ts";
import { drawSheet } from "#src/imaging/draw-sheet.ts";
import { measureInkSheet } from "#src/imaging/sheet/measure-sheet.ts";
import { sheetLayout } from "#shared/tablet/wedge-sheet-layout.ts";
import { chance } from "./chance.ts";
import { printAndPhotograph } from "./print-and-photograph.ts";
import { inventStudio, type FilmFit, type Studio } from "./studio.ts";

export type InkCase = FilmFit | "coloured";

/** Full ultraviolet density of cyan, magenta and yellow ink as multiples of the densest black's. */
const colourStrength: Readonly<Record<InkCase, readonly [number, number]>> = {
  thin: [0.15, 0.9],
  fitting: [0.2, 0.8],
  dense: [0.2, 0.8],
  // The black is weak; a colour holds back what it lets through.
  coloured: [0.7, 3.2],
};

/** A printer that mixes cyan, magenta, yellow and black from RGB, black for what they have in common. */
function inventInkStudio(seed: number, of: InkCase): Studio {
  const studio = inventStudio(seed, false, of === "coloured" ? "thin" : of);
  const random = chance(seed * 23 + 9);
  const base = studio.filmDensity[255] as number;
  const black = (studio.filmDensity[0] as number) - base;
  const [least, most] = colourStrength[of];
  const inks = [0, 1, 2].map(() => ({
    full: black * random.between(least, most),
    spread: random.between(0.7, 1.4),
    limit: random.between(0.2, 2),
  }));
  return {
    ...studio,
    colourDensity(...colour) {
      const wanted = colour.map((value) => 1 - value / 255);
      const common = Math.min(...wanted);
      const coloured = inks.reduce((sum, { full, spread, limit }, k) => {
        const amount = (wanted[k] as number) - common;
        return sum + (full * (1 - Math.exp(-limit * amount ** spread))) / (1 - Math.exp(-limit));
      }, 0);
      const at = 255 * (1 - common);
      const low = Math.min(254, Math.floor(at));
      const grey =
        (studio.filmDensity[low] as number) +
        (at - low) * ((studio.filmDensity[low + 1] as number) - (studio.filmDensity[low] as number));
      return grey + coloured;
    },
  };
}

interface InkTruth {
  /** Density of the film under all of the ink, and the least amount that leaves the paper white; null for none. */
  readonly density: number;
  readonly whiteFrom: number | null;
}

/** Red density above bare paper that still counts as white, as the program documents. */
const whiteDensity = 0.03;

function truthOf(studio: Studio, ink: FilmInkName): InkTruth {
  const base = studio.filmDensity[255] as number;
  const density = (amount: number): number => {
    const { red, green, blue } = sentInk(inkNamed(ink), amount);
    return studio.colourDensity?.(red, green, blue) ?? NaN;
  };
  const print = (amount: number): number => studio.stainDensity + studio.printDensity(base - density(amount));
  const amounts = Array.from({ length: 1001 }, (_, i) => i / 1000);
  return { density: density(1), whiteFrom: amounts.find((amount) => print(amount) <= whiteDensity) ?? null };
}

export interface InkLoopOutcome {
  readonly seed: number;
  readonly answer: InkAnswer;
  readonly truth: Readonly<Record<string, InkTruth>>;
}

/** Film files are drawn at this resolution to keep the bench quick. */
const dpi = 150;

async function photograph(studio: Studio, seed: number, inks: readonly FilmInkName[]): Promise<Uint8Array> {
  const { options } = sheetLayout(inkSheetOptions({ inks }));
  const { png } = await drawSheet({ options, paper: "a4", dpi, mirror: true, inkMask: inkMask(inks) });
  return (await printAndPhotograph({ studio, png, options, seed, longSidePx: 2600 })).jpeg;
}

/** A photo of an ink sheet's print from an invented studio. */
export function inkSheetPhoto(seed: number, of: InkCase, inks: readonly FilmInkName[]): Promise<Uint8Array> {
  return photograph(inventInkStudio(seed, of), seed, inks);
}

/** One ink sheet: drawn, printed on a simulated film, contact-printed, photographed, read. */
export async function readInksOnce(
  seed: number,
  of: InkCase,
  inks: readonly FilmInkName[] = filmInks.map(({ name }) => name).slice(0, 8),
): Promise<InkLoopOutcome> {
  const studio = inventInkStudio(seed, of);
  const { reading, inks: amounts } = await measureInkSheet({ picture: await photograph(studio, seed, inks) });
  const zero = reading.sheet?.zero;
  const printed = reading.steps.flatMap((step) => {
    const own = amounts.find(({ level }) => level === step.input);
    const density = { density: step.red, sigma: step.sigma };
    return own === undefined ? [] : [{ ink: own.ink, amount: own.amount, ...density, inCurve: density }];
  });
  return {
    seed,
    answer: inkAnswer({ printed, paperSigma: zero?.of === "bare-paper" ? zero.sigma : null, through: null }),
    truth: Object.fromEntries(inks.map((ink) => [ink, truthOf(studio, ink)])),
  };
}
