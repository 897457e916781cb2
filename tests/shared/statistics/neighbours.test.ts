import { expect, it } from "vitest";
import { neighboursOf } from "#shared/statistics/neighbours.ts";

it("when unknowns meet in several groups, names each neighbour once, and nobody where one stands alone", () => {
  const groups = [
    [0, 1, 2],
    [2, 1],
    [4, 2],
  ];
  const found = neighboursOf(5, groups).map((met) => [...met].sort((a, b) => a - b));
  expect(found).toEqual([[1, 2], [0, 2], [0, 1, 4], [], [2]]);
});
