// The reader against scenes that vary everything at random, never tuned on.
import type { Print } from "../main.ts";
import { timeLines } from "./given-corners.ts";
import { runTasks } from "./run-tasks.ts";
import { isRefusal, mislocatedSteps, type Outcome, type SceneOutcome, type SceneRefusal } from "./scene-outcome.ts";
import { firstReportingSeed, type SceneTask } from "./scene-tasks.ts";
import {
  distributionLine,
  figureLine,
  heading,
  quantile,
  robustDeviation,
  rootMeanSquare,
  shareOf,
} from "../statistics.ts";
import type { SceneKind } from "../../../samples/render/scene.ts";

const counts = { scan: 60, photo: 60, "toned-photo": 40, cotton: 40 } as const satisfies Record<SceneKind, number>;
export const title =
  `${Object.values(counts).reduce((sum, count) => sum + count, 0)} random scenes: any turn, tilt to 25 degrees, ` +
  `clutter, seeds from ${firstReportingSeed}`;

const densityGoals: Readonly<Record<SceneKind, number>> = {
  scan: 0.005,
  photo: 0.01,
  "toned-photo": 0.02,
  cotton: 0.015,
};
/** Every so many scenes declare a wrong count of steps, and are large. */
const wrongCountEvery = 6;
const largeEvery = 20;
/** Warnings that tell the user to look at the place of the strip. */
export const placeWarnings: readonly string[] = ["location-uncertain", "looks-like-other-count", "corners-doubted"];

export async function run(print: Print): Promise<void> {
  const tasks: SceneTask[] = [];
  let seed = firstReportingSeed + 100;
  for (const [kind, count] of Object.entries(counts) as [SceneKind, number][]) {
    for (let index = 0; index < count; index++, seed++) {
      const megapixels = seed % largeEvery === 0 ? 12 : 2 + (seed % 4);
      tasks.push({
        seed,
        wishes: { kind, megapixels, exposed: "well" },
        given: true,
        found: true,
        wrongCount: seed % wrongCountEvery === 0,
      });
    }
  }
  const results = await runTasks(tasks);
  const given = results.flatMap((result) => (result.given === null ? [] : [result.given]));
  const found = results.flatMap((result) => (result.found === null ? [] : [result.found]));
  const wrong = results.flatMap((result) => (result.wrongCount === null ? [] : [result.wrongCount]));
  print("Corners given");
  givenLines(given, print);
  print("Found by itself");
  foundLines(found, print);
  const unsaid = wrong.filter((outcome): outcome is SceneOutcome => !isRefusal(outcome) && !isWarned(outcome));
  print(
    figureLine(
      "wrong count of steps declared and not noticed",
      `${unsaid.length} of ${wrong.length}`,
      "0",
      unsaid.length === 0,
    ),
  );
  for (const { name, confidence } of unsaid) print(`  ${name}: confidence ${confidence}`);
}

const isWarned = (outcome: SceneOutcome): boolean => outcome.warnings.some((code) => placeWarnings.includes(code));

function givenLines(outcomes: readonly Outcome[], print: Print): void {
  const read = outcomes.filter((outcome): outcome is SceneOutcome => !isRefusal(outcome));
  for (const refusal of outcomes.filter(isRefusal))
    print(`  ${refusal.name} refused (${refusal.refused}): ${refusal.detail}`);
  print(heading);
  for (const kind of Object.keys(counts) as SceneKind[]) {
    const of = read.filter((outcome) => outcome.kind === kind);
    const errors = of.flatMap((outcome) => outcome.steps.map((step) => step.error));
    const goal = densityGoals[kind];
    print(
      distributionLine({
        what: `${kind}: density error, rms of each scene`,
        values: of.map((outcome) => rootMeanSquare(outcome.steps.map((step) => step.error))),
        goal: "",
      }),
    );
    print(
      figureLine(
        `${kind}: density error, rms of all steps`,
        rootMeanSquare(errors).toFixed(4),
        `<= ${goal}`,
        rootMeanSquare(errors) <= goal,
      ),
    );
    print(
      figureLine(
        `${kind}: scenes whose rms is within the goal`,
        `${(100 * shareOf(of, ({ steps }) => rootMeanSquare(steps.map(({ error }) => error)) <= goal)).toFixed(0)} ` +
          `% of ${of.length}`,
        "",
      ),
    );
    const visual = rootMeanSquare(of.flatMap((outcome) => outcome.steps.map((step) => step.visualError)));
    print(figureLine(`${kind}: visual density error, rms of all steps`, visual.toFixed(4), ""));
    for (const [against, key] of [
      ["this print", "error"],
      ["the even print", "evenError"],
    ] as const) {
      const standardised = of.flatMap((outcome) => outcome.steps.map((step) => step[key] / step.sigma));
      const deviation = Math.sqrt(standardised.reduce((sum, z) => sum + z * z, 0) / standardised.length);
      print(
        figureLine(
          `${kind}: error / sigma against ${against}`,
          `sd ${deviation.toFixed(2)}, robust ${robustDeviation(standardised).toFixed(2)}`,
          key === "evenError" ? "0.8 to 1.25" : "",
          key === "evenError" ? deviation >= 0.8 && deviation <= 1.25 : undefined,
        ),
      );
    }
    const worst = [...of]
      .sort((left, right) => rmsOf(right) - rmsOf(left))
      .slice(0, 3)
      .filter((outcome) => rmsOf(outcome) > 2 * goal);
    for (const outcome of worst)
      print(
        `  ${outcome.name}: rms ${rmsOf(outcome).toFixed(3)}; ${outcome.warnings.join(", ") || "no warning"}; ` +
          `${outcome.truth.disturbances.join(", ")}`,
      );
  }
  const covered = read.reduce((sum, outcome) => sum + outcome.coveredSteps, 0);
  const flagged = read.reduce((sum, outcome) => sum + outcome.coveredAndFlagged, 0);
  const steps = read.reduce((sum, outcome) => sum + outcome.steps.length, 0);
  const mistaken = read.reduce((sum, outcome) => sum + outcome.leftOutByMistake, 0);
  print(figureLine("covered steps that were flagged", `${flagged} of ${covered}`, ""));
  print(figureLine("clean steps left out by mistake", `${mistaken} of ${steps + mistaken}`, ""));
  timeLines(read, print, { timeStops: 0.16, timeShare: 0.9, rangeShare: 0.93 });
}

const rmsOf = (outcome: SceneOutcome): number => rootMeanSquare(outcome.steps.map((step) => step.error));

function foundLines(outcomes: readonly Outcome[], print: Print): void {
  const found = outcomes.filter((outcome): outcome is SceneOutcome => !isRefusal(outcome));
  const refused = outcomes.filter((outcome): outcome is SceneRefusal => isRefusal(outcome));
  const right = found.filter((outcome) => outcome.cornerErrorSteps <= mislocatedSteps);
  const wrong = found.filter((outcome) => outcome.cornerErrorSteps > mislocatedSteps);
  const silent = wrong.filter((outcome) => !isWarned(outcome));
  const share = right.length / outcomes.length;
  print(
    figureLine(
      "strip found in its place",
      `${right.length} of ${outcomes.length} (${(100 * share).toFixed(1)} %)`,
      ">= 95 %",
      share >= 0.95,
    ),
  );
  for (const kind of Object.keys(counts) as SceneKind[]) {
    const of = outcomes.filter((outcome) => outcome.kind === kind);
    print(figureLine(`  ${kind}`, `${right.filter((outcome) => outcome.kind === kind).length} of ${of.length}`, ""));
  }
  print(figureLine("corners asked for instead", String(refused.length), ""));
  print(figureLine("wrong place, with a warning", String(wrong.length - silent.length), ""));
  print(figureLine("wrong place in silence", String(silent.length), "0", silent.length === 0));
  for (const outcome of silent)
    print(
      `  ${outcome.name}: ${outcome.cornerErrorSteps.toFixed(1)} steps off, confidence ${outcome.confidence}; ` +
        `${outcome.truth.disturbances.join(", ")}`,
    );
  for (const outcome of refused)
    print(`  ${outcome.name} not found; ${outcome.truth.steps.length} steps; ${outcome.truth.disturbances.join(", ")}`);
  print(figureLine("right place, but the user is told to check", String(right.filter(isWarned).length), ""));
  const levels = [0.6, 0.8, 0.9, 0.97, 1.001];
  for (let index = 0; index + 1 < levels.length; index++) {
    const within = found.filter(
      (outcome) => outcome.confidence >= levels[index]! && outcome.confidence < levels[index + 1]!,
    );
    if (within.length > 0)
      print(
        figureLine(
          `  confidence ${levels[index]!.toFixed(2)} to ${Math.min(1, levels[index + 1]!).toFixed(2)}`,
          "right in " +
            `${(100 * shareOf(within, (outcome) => outcome.cornerErrorSteps <= mislocatedSteps)).toFixed(0)} % of ` +
            `${within.length}`,
          "",
        ),
      );
  }
  print(
    figureLine(
      "corner error where right, steps: median, 90 %",
      `${quantile(
        right.map((outcome) => outcome.cornerErrorSteps),
        0.5,
      ).toFixed(2)}, ${quantile(
        right.map((outcome) => outcome.cornerErrorSteps),
        0.9,
      ).toFixed(2)}`,
      "",
    ),
  );
}
