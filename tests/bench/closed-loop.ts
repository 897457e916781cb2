// Whether the loop closes: sheet, print, photo, reading, correction, and a second sheet through it, in simulated
// studios.
import { sheetDefaults } from "#shared/tablet/wedge-sheet-layout.ts";
import { drawSheet } from "#src/imaging/draw-sheet.ts";
import { measureReading } from "#src/imaging/measure-reading.ts";
import { turnOnce, type LoopOutcome, type Straightness } from "./closed-loop/loop.ts";
import { printAndPhotograph } from "./closed-loop/print-and-photograph.ts";
import { evenPrintDensity, inventStudio } from "./closed-loop/studio.ts";
import { doubtsOfStrips, spoiltStrips } from "./closed-loop/doubts.ts";
import { driftAndFollow } from "./closed-loop/drift.ts";
import type { Print } from "./main.ts";
import { distributionLine, figureLine, heading, quantile, rootMeanSquare } from "./statistics.ts";

export const title = "closed loop: wedge sheet to straight print";

/** Seeds of the reports; those under 1000 were used while the reader was made. */
const firstLoopSeed = 20_000;
const firstPhotoSeed = 30_000;
const loopCount = 24;
const photoCount = 100;
/**
 * A reading counts when its densities are this near to the truth; a patch mistaken for another is off by far more [rms
 * density].
 */
const rightReading = 0.03;

export interface ClosedLoopReport {
  readonly outcomes: readonly LoopOutcome[];
  /** Of the photos: root mean square density error, or null where the sheet was not read. */
  readonly photoErrors: readonly (number | null)[];
}

/** A drifted printer and a steady one, each led by the strips of two prints. */
const firstDriftSeed = 60_000;
const driftCount = 60;
const driftGoal = 0.6;

function printDrift(print: Print): void {
  for (const [size, what] of [
    [1, "drifted printer"],
    [0, "steady printer"],
  ] as const) {
    const outcomes = Array.from({ length: driftCount }, (_, i) => driftAndFollow(firstDriftSeed + i, 2, size).prints);
    for (const [prints, after] of ["through the old curve", "after one strip", "after two strips"].entries()) {
      const values = outcomes.map((each) => each[prints]?.mean ?? Number.NaN);
      const isJudged = prints === 2;
      const goals = isJudged ? { goal: `90 % < ${driftGoal}`, met: quantile(values, 0.9) < driftGoal } : { goal: "" };
      print(distributionLine({ what: `mean |dL*|, ${what} ${after}`, values, digits: 2, ...goals }));
    }
  }
}

/** How many good strips are doubted, and how many spoilt ones told. */
function printDoubts(print: Print): void {
  const share = (codes: readonly string[][]): number => codes.filter((each) => each.length > 0).length / codes.length;
  const line = (what: string, told: number, goal: string, met: boolean): void => {
    print(figureLine(what, `${(100 * told).toFixed(0)} % of ${driftCount}`, goal, met));
  };
  for (const [size, what] of [
    [1, "drifted"],
    [0, "steady"],
  ] as const) {
    const doubted = share(doubtsOfStrips(firstDriftSeed, driftCount, (tones) => [...tones], size));
    line(`good strip of a ${what} printer doubted`, doubted, "<= 10 %", doubted <= 0.1);
  }
  for (const [what, spoil] of Object.entries(spoiltStrips)) {
    const told = share(doubtsOfStrips(firstDriftSeed, driftCount, spoil));
    line(`strip with ${what} told`, told, ">= 80 %", told >= 0.8);
  }
}

/** Runs `loops` whole loops and reads `photos` sheets without help; every third on cloth, every tenth mirrored. */
export async function closedLoopReport({
  loops,
  photos,
}: {
  loops: number;
  photos: number;
}): Promise<ClosedLoopReport> {
  const outcomes: LoopOutcome[] = [];
  for (let i = 0; i < loops; i++)
    outcomes.push(await turnOnce({ seed: firstLoopSeed + i, cloth: i % 3 === 0, options: sheetDefaults }));
  const { png } = await drawSheet({ options: sheetDefaults, paper: "a4", dpi: 150, mirror: true });
  const photoErrors: (number | null)[] = [];
  for (let i = 0; i < photos; i++) {
    const studio = inventStudio(firstPhotoSeed + i, i % 3 === 0);
    const photo = await printAndPhotograph({
      studio,
      png,
      options: sheetDefaults,
      seed: firstPhotoSeed + i,
      laidWrong: i % 10 === 7,
      tilt: 22,
    });
    try {
      const reading = await measureReading({ picture: photo.jpeg, request: { tablet: { kind: "sheet" } } });
      const white = reading.sheet?.zero?.of === "bare-paper" ? 0 : evenPrintDensity(studio, 0);
      photoErrors.push(
        rootMeanSquare(reading.steps.map((step) => step.red - (evenPrintDensity(studio, 255 - step.input) - white))),
      );
    } catch {
      photoErrors.push(null);
    }
  }
  return { outcomes, photoErrors };
}

/** @param print takes the lines of the table */
export async function run(print: Print): Promise<void> {
  const { outcomes, photoErrors } = await closedLoopReport({ loops: loopCount, photos: photoCount });
  print(heading);
  const rows: [string, (outcome: LoopOutcome) => Straightness | null, boolean][] = [
    ["before", (outcome) => outcome.before, false],
    ["through one correction", (outcome) => outcome.corrected, true],
    ["through the refined correction", (outcome) => outcome.refined, true],
  ];
  for (const [what, pick, isJudged] of rows) {
    for (const [figure, median, decile] of [
      ["mean", 0.5, 1],
      ["worst", 1.5, 3],
    ] as const) {
      const values = outcomes.map((outcome) => pick(outcome)?.[figure] ?? Number.NaN);
      const goals = isJudged
        ? {
            goal: `median < ${median}, 90 % < ${decile}`,
            met: quantile(values, 0.5) < median && quantile(values, 0.9) < decile,
          }
        : { goal: "" };
      print(distributionLine({ what: `${figure} |dL*| ${what}`, values, digits: 2, ...goals }));
    }
  }
  printDrift(print);
  printDoubts(print);
  const right = photoErrors.filter((error) => error !== null && error < rightReading).length;
  const wrong = photoErrors.filter((error) => error !== null && error >= rightReading).length;
  print(
    figureLine(
      "sheet read without help",
      `${right} of ${photoErrors.length}, ${wrong} wrongly`,
      "95 %, none wrongly",
      right >= 0.95 * photoErrors.length && wrong === 0,
    ),
  );
  print(
    distributionLine({
      what: "red density error of those read, rms",
      values: photoErrors.filter((error) => error !== null),
      goal: "",
    }),
  );
}
