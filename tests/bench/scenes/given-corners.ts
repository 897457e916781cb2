// Accuracy when the corners are given: 30 scenes, half scans, half photos, with responses outside the fitted family.
import { randomScene } from "../../../samples/render/random-scene.ts";
import { firstReportingSeed } from "./scene-tasks.ts";
import { isRefusal, outcomeOf, type SceneOutcome } from "./scene-outcome.ts";
import { distributionLine, figureLine, heading, quantile, rootMeanSquare, shareOf } from "../statistics.ts";
import type { Print } from "../main.ts";

export const title = "Corners given: 15 scans, 15 photos (20 degrees, 25 % fall-off), nothing else in the frame";

const goals = { scanDensity: 0.015, photoDensity: 0.03, timeStops: 0.15, timeShare: 0.9, rangeShare: 0.9 };

export async function run(print: Print): Promise<void> {
  const outcomes: SceneOutcome[] = [];
  for (let index = 0; index < 30; index++) {
    const kind = index % 2 === 0 ? "scan" : "photo";
    const scene = randomScene(firstReportingSeed + index, {
      kind,
      megapixels: 3,
      clutter: false,
      mostTiltDegrees: 20,
      mostFallOffShare: 0.25,
    });
    const outcome = await outcomeOf(scene, { corners: true });
    if (isRefusal(outcome)) print(`${outcome.name} was refused (${outcome.refused}): ${outcome.detail}`);
    else outcomes.push(outcome);
  }
  print(heading);
  for (const [kind, goal] of [
    ["scan", goals.scanDensity],
    ["photo", goals.photoDensity],
  ] as const) {
    const of = outcomes.filter((outcome) => outcome.kind === kind);
    const rms = rootMeanSquare(of.flatMap((outcome) => outcome.steps.map((step) => step.error)));
    print(
      distributionLine({
        what: `${kind}: density error, rms of each scene`,
        values: of.map((outcome) => rootMeanSquare(outcome.steps.map((step) => step.error))),
        goal: "",
      }),
    );
    print(figureLine(`${kind}: density error, rms of all steps`, rms.toFixed(4), `<= ${goal}`, rms <= goal));
  }
  timeLines(outcomes, print, goals);
  for (const { name, timeErrorStops, verdict } of outcomes)
    if (verdict !== "ok" || Math.abs(timeErrorStops ?? 9) > 0.3)
      print(`  ${name}: verdict ${verdict}, time off by ${timeErrorStops?.toFixed(2) ?? "none"} stop`);
}

/** Lines about advised times. */
export function timeLines(
  outcomes: readonly SceneOutcome[],
  print: Print,
  goal: { timeStops: number; timeShare: number; rangeShare: number },
): void {
  const withTime = outcomes.filter((outcome) => outcome.timeErrorStops !== null);
  const errors = withTime.map((outcome) => Math.abs(outcome.timeErrorStops!));
  const share = errors.filter((error) => error <= goal.timeStops).length / outcomes.length;
  print(distributionLine({ what: "time: error in stops", values: errors, goal: "", digits: 3 }));
  print(
    figureLine(
      `time: within ${goal.timeStops} stop`,
      `${(100 * share).toFixed(0)} % of ${outcomes.length}`,
      `>= ${100 * goal.timeShare} %`,
      share >= goal.timeShare,
    ),
  );
  const holds = shareOf(
    outcomes.filter((outcome) => outcome.rangeHolds !== null),
    (outcome) => outcome.rangeHolds === true,
  );
  print(
    figureLine(
      "time: stated 95 % range holds the truth",
      `${(100 * holds).toFixed(0)} %`,
      `>= ${100 * goal.rangeShare} %`,
      holds >= goal.rangeShare,
    ),
  );
  print(
    figureLine(
      "time: median width of the range, stops",
      quantile(
        outcomes.flatMap((outcome) => (outcome.rangeStops === null ? [] : [outcome.rangeStops])),
        0.5,
      ).toFixed(2),
      "",
    ),
  );
}
