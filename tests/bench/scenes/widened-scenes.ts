// The finder against scenes as other people's pictures are, several hardships in each; seeds never tuned on.
import { TroubleError } from "#shared/errors.ts";
import type { Corners } from "#shared/schema/reading.ts";
import { measureReading } from "#src/imaging/measure-reading.ts";
import { sceneKinds } from "../../../samples/render/random-scene.ts";
import { renderScene } from "../../../samples/render/render-scene.ts";
import { wideScene } from "../../../samples/render/wide-scene.ts";
import { pictureFile } from "../../../samples/render/write-picture.ts";
import type { Print } from "../main.ts";
import { placeWarnings } from "./scenes.ts";
import { figureLine } from "../statistics.ts";

const firstSeed = 20_001;
const count = 96;
export const title = `${count} widened scenes found by themselves, seeds from ${firstSeed}`;

const goals = { locatedShare: 0.97, silent: 0, doubtedShare: 0.1 };
/** A corner further off than this share of the strip's length is in the wrong place. */
const mostOffShare = 0.02;

type Found = "refused" | "right" | "right, doubted" | "wrong, warned" | "wrong, silent";

export async function run(print: Print): Promise<void> {
  const found: Found[] = [];
  for (let seed = firstSeed; seed < firstSeed + count; seed++) {
    const kind = sceneKinds[seed % sceneKinds.length]!;
    const one = await foundIn(seed, kind);
    if (one === "wrong, silent") print(`  seed ${seed}, ${kind}: wrong without a warning`);
    found.push(one);
  }
  const of = (...what: readonly Found[]): number => found.filter((one) => what.includes(one)).length;
  const located = of("right", "right, doubted");
  print(
    figureLine(
      "located within 2 % of the length",
      `${located} of ${count}`,
      `>= ${100 * goals.locatedShare} %`,
      located >= goals.locatedShare * count,
    ),
  );
  print(figureLine("refused, corners asked for", `${of("refused")}`, ""));
  print(figureLine("wrong and warned", `${of("wrong, warned")}`, ""));
  print(
    figureLine(
      "wrong without a warning",
      `${of("wrong, silent")}`,
      `${goals.silent}`,
      of("wrong, silent") === goals.silent,
    ),
  );
  const doubted = of("right, doubted");
  print(
    figureLine(
      "right and doubted",
      `${doubted} of ${located}`,
      `<= ${100 * goals.doubtedShare} %`,
      doubted <= goals.doubtedShare * located,
    ),
  );
}

async function foundIn(seed: number, kind: (typeof sceneKinds)[number]): Promise<Found> {
  const rendered = renderScene(wideScene(seed, { kind }));
  const { request, corners } = rendered.truth;
  try {
    const { location, warnings } = await measureReading({ picture: await pictureFile(rendered), request });
    const isDoubted = warnings.some(({ code }) => placeWarnings.includes(code));
    if (offShare(location.corners, corners) <= mostOffShare) return isDoubted ? "right, doubted" : "right";
    return isDoubted ? "wrong, warned" : "wrong, silent";
  } catch (error) {
    if (error instanceof TroubleError) return "refused";
    throw error;
  }
}

/** Largest distance of a corner from the truth, as a share of the length; a flip across the strip is none. */
function offShare(found: Corners, [a, b, c, d]: Corners): number {
  const length = (Math.hypot(b[0] - a[0], b[1] - a[1]) + Math.hypot(c[0] - d[0], c[1] - d[1])) / 2;
  const off = (truth: Corners): number =>
    Math.max(...found.map(([x, y], i) => Math.hypot(x - truth[i]![0], y - truth[i]![1]))) / length;
  return Math.min(off([a, b, c, d]), off([d, c, b, a]));
}
