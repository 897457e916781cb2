import { describe, expect, it } from "vitest";
import { evennessMap } from "#shared/evenness/evenness.ts";
import { fallOffsOver } from "#shared/evenness/lamp-over-bed.ts";
import { plannedPlaces } from "#shared/evenness/planned-places.ts";
import { evennessReasons, zoneTimes } from "#shared/words/materials/evenness-words.ts";
import { bedCoverage } from "../../bench/studio/uneven-beds.ts";
import { bedKinds } from "../../bench/studio/simulated-beds.ts";

const bed = { widthMm: 400, heightMm: 400 };

describe("how a lamp's light may fall", () => {
  // Inverse square and cosine: E = d / (d^2 + x^2)^(3/2). Source: textbook, "cos^4 law" as cos^3 over a flat bed.
  it("under a single lamp, falls as the cube of the cosine, towards its stray light", () => {
    for (const { at, strayShare } of fallOffsOver({ kind: "point", distanceMm: 200 }, bed)) {
      const [middle, edge] = [at({ x: 0.5, y: 0.5 }).light, at({ x: 1, y: 0.5 }).light];
      expect(edge / middle).toBeCloseTo((Math.SQRT1_2 ** 3 + strayShare) / (1 + strayShare), 12);
    }
  });

  it("in all ways together, is believed once; without any knowledge, tubes, diodes and a single lamp alike", () => {
    for (const lamp of [null, { kind: "tubes" }, { kind: "led" }, { kind: "point" }, { kind: "panel" }] as const) {
      expect(fallOffsOver(lamp, bed).reduce((sum, { chance }) => sum + chance, 0)).toBeCloseTo(1, 12);
    }
    const inPieces = fallOffsOver(null, bed).filter(({ at }) => at({ x: 0.5, y: 0.5 }).parts.length > 0);
    expect(inPieces.reduce((sum, { chance }) => sum + chance, 0)).toBeCloseTo(2 / 3, 12);
  });

  it("under tubes or a field, the parts' shares and the stray light make one whole everywhere", () => {
    for (const kind of ["tubes", "led", "panel"] as const) {
      for (const fallOff of fallOffsOver({ kind, widthMm: 420, heightMm: 420, distanceMm: 90, tubeCount: 7 }, bed)) {
        const { strayShare } = fallOff;
        const stray = (fallOff.at({ x: 0.5, y: 0.5 }).light * strayShare) / (1 + strayShare);
        for (const place of plannedPlaces(9)) {
          const { light, parts } = fallOff.at(place);
          expect(parts.reduce((sum, share) => sum + share, stray / light)).toBeCloseTo(1, 12);
        }
      }
    }
  });
});

describe("a bed from a few tablets", () => {
  it.each(
    bedKinds.filter((kind) => kind !== "an even bed").flatMap((kind) => [5, 9].map((count) => [kind, count] as const)),
  )(
    "under %s, from %i tablets, holds the true difference in its range",
    (kind, count) => {
      const { held } = bedCoverage(kind, { count, beds: 12, seed: 60_000, knows: true });
      // Of 12 beds at 95 %, fewer than 9 are held in one of 400 runs.
      expect(held).toBeGreaterThanOrEqual(0.75);
    },
    120_000,
  );

  it("of an even bed, says so, and corrects no time", () => {
    const map = evennessMap(
      plannedPlaces(5).map(({ x, y }, i) => ({ x, y, stops: [0.02, -0.03, 0.01, 0.03, -0.02][i]!, sigmaStops: 0.035 })),
      bed,
      { kind: "panel", widthMm: 1200, heightMm: 1200, distanceMm: 150 },
    );
    expect(map.lowerStops).toBe(0);
    expect(evennessReasons(map).join(" ")).toContain("call the bed even");
    expect(zoneTimes(map.zones ?? [], 600)).toEqual([]);
  });

  it("of a bed that falls off to one side, says what the weak side wants more", () => {
    const map = evennessMap(
      plannedPlaces(9).map(({ x, y }) => ({ x, y, stops: 0.8 * (x - 0.5), sigmaStops: 0.035 })),
      bed,
    );
    const times = zoneTimes(map.zones ?? [], 600);
    const left = times.find(({ place }) => place === "the left");
    const right = times.find(({ place }) => place === "the right");
    // A sixth of the width from the left edge lies 0.27 stop below the middle: 600 s times 2^0.27 less 600 s is 2:02.
    expect(left?.change).toMatch(/^\+(1:[45]\d|2:[012]\d)$/);
    expect(right?.change.startsWith("−")).toBe(true);
    expect(times.every(({ place }) => place !== "the middle")).toBe(true);
  });

  it("gives the same map for the same tablets", () => {
    const places = plannedPlaces(5).map(({ x, y }) => ({ x, y, stops: 0.3 * y, sigmaStops: 0.035 }));
    expect(evennessMap(places, bed)).toEqual(evennessMap(places, bed));
  });
});
