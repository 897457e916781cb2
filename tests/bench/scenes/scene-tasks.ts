// Which scenes the bench reads, and in which ways. A task is small enough to hand to another process.
import { randomScene, type SceneWishes } from "../../../samples/render/random-scene.ts";
import { renderScene } from "../../../samples/render/render-scene.ts";
import type { Tablet } from "#shared/schema/reading.ts";
import { pictureFile } from "../../../samples/render/write-picture.ts";
import { compare, type Outcome } from "./scene-outcome.ts";

/** Seeds from here on are for reporting; whoever tunes the reader uses those below. */
export const firstReportingSeed = 10_000;

export interface SceneTask {
  readonly seed: number;
  readonly wishes: SceneWishes;
  /** Read with the true corners, without any, and without any but with a wrong count of steps declared. */
  readonly given: boolean;
  readonly found: boolean;
  readonly wrongCount: boolean;
}

export interface TaskResult {
  readonly seed: number;
  readonly given: Outcome | null;
  readonly found: Outcome | null;
  readonly wrongCount: Outcome | null;
}

export async function runTask({ seed, wishes, given, found, wrongCount }: SceneTask): Promise<TaskResult> {
  const scene = randomScene(seed, wishes);
  const { truth, ...rendered } = renderScene(scene);
  const picture = await pictureFile({ ...rendered, truth });
  return {
    seed,
    given: given ? await compare(scene, truth, picture, { corners: true }) : null,
    found: found ? await compare(scene, truth, picture, { corners: false }) : null,
    wrongCount: wrongCount
      ? await compare(scene, truth, picture, {
          corners: false,
          request: (request) => ({ ...request, tablet: otherCount(request.tablet) }),
        })
      : null,
  };
}

/** A tablet that people take for this one: 31 for 21 steps, 21 for others. */
function otherCount(tablet: Tablet): Tablet {
  const is21 = tablet.kind === "transmission" && "steps" in tablet && tablet.steps === 21;
  return is21
    ? { kind: "transmission", steps: 31, increment: 0.1, firstDensity: 0.05 }
    : { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 };
}
