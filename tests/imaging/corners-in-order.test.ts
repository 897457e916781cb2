// Corners as people mark them in another order than round the strip, on a drawn strip whose place is known.
import { describe, expect, it } from "vitest";
import { measureReading } from "#src/imaging/measure-reading.ts";
import type { Corners, Tablet } from "#shared/schema/reading.ts";
import { readingInWords } from "#shared/words/tests/reading-words.ts";
import { blueprintDensities, stripFile } from "../support/pictures/strip-picture.ts";

const tablet = { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 } as const;
const timed = { kind: "timed", seconds: Array.from({ length: 21 }, (_, i) => 10 * 1.3 ** i) } as const;
const truth: Corners = [
  [140, 120],
  [980, 150],
  [977, 240],
  [137, 210],
];
const numbers = [0, 1, 2, 3];
const allOrders = numbers.flatMap((a) =>
  numbers.flatMap((b) =>
    numbers.flatMap((c) => numbers.flatMap((d) => (new Set([a, b, c, d]).size === 4 ? [[a, b, c, d] as const] : []))),
  ),
);
const isInOrder = ([a, b, c, d]: readonly number[]): boolean =>
  [b! - a!, c! - b!, d! - c!].every((by) => (by + 4) % 4 === 1);

const strip = (densities: readonly number[]) =>
  stripFile({ width: 1120, height: 360, corners: truth, densities, grain: 0.01 });

async function readIn(order: readonly number[], densities: readonly number[], said: Tablet) {
  const corners = order.map((i) => truth[i]!) as unknown as Corners;
  return measureReading({ picture: await strip(densities), request: { tablet: said, corners } });
}

describe("corners in another order than round the strip", () => {
  const fromStepOne = allOrders.filter((order) => (order[0] === 0 || order[0] === 3) && !isInOrder(order));

  it.each([
    ["a film tablet", tablet, blueprintDensities],
    ["a strip uncovered in steps, palest first", timed, blueprintDensities.toReversed()],
  ] as const)("of %s, begun at the end of step 1, are put in order, and that is said", async (_, said, densities) => {
    expect(fromStepOne).toHaveLength(10);
    for (const order of fromStepOne) {
      const { location, steps, warnings } = readingInWords(await readIn(order, densities, said));
      location.corners.forEach(([x, y], i) => expect(Math.hypot(x - truth[i]![0], y - truth[i]![1])).toBeLessThan(3));
      steps.forEach((step, i) => expect(Math.abs(step.red - densities[i]!)).toBeLessThan(0.03));
      const right = numbers.map((corner) => order.indexOf(corner) + 1).join(", ");
      const told = warnings.find(({ code }) => code === "corners-reordered");
      expect(told?.message).toContain(`taken as corners ${right}`);
    }
  });

  it("begun at the other end, are refused as before or said to be reversed: never read in silence", async () => {
    for (const order of allOrders.filter((each) => each[0] === 1 || each[0] === 2)) {
      const read = await readIn(order, blueprintDensities, tablet).catch((error: unknown) => error);
      if (read instanceof Error) expect(read).toMatchObject({ code: "corners-impossible" });
      else
        expect((read as { warnings: { code: string }[] }).warnings.map(({ code }) => code)).toContain("strip-reversed");
    }
  });

  it("of a strip that shows no steps, are refused: which way they run is not plain", async () => {
    const flat = blueprintDensities.map(() => 0.4);
    await expect(readIn([0, 3, 2, 1], flat, tablet)).rejects.toMatchObject({ trouble: { code: "corners-mirrored" } });
    await expect(readIn([0, 1, 3, 2], flat, tablet)).rejects.toMatchObject({ trouble: { code: "corners-crossed" } });
  });

  it("one of which lies between the others, are refused", async () => {
    const corners: Corners = [truth[0], truth[1], [500, 170], truth[3]];
    await expect(
      measureReading({ picture: await strip(blueprintDensities), request: { tablet, corners } }),
    ).rejects.toMatchObject({ code: "corners-impossible" });
  });
});
