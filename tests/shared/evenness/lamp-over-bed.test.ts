import { describe, expect, it } from "vitest";
import { evennessMap } from "#shared/evenness/evenness.ts";
import { drawnFallOff, type FallOff, type KnownLamp } from "#shared/evenness/lamp-over-bed.ts";
import { panelOver } from "#shared/evenness/lamp-parts.ts";
import { panelAt } from "#shared/lamp/lamp-geometry.ts";
import { plannedPlaces } from "#shared/evenness/planned-places.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import { evennessReasons, zoneTimes } from "#shared/words/materials/evenness-words.ts";
import { bedCoverage } from "../../bench/studio/uneven-beds.ts";
import { bedKinds } from "../../bench/studio/simulated-beds.ts";

const bed = { widthMm: 400, heightMm: 400 };

const drawnLamps = (lamp: KnownLamp | null, count: number): FallOff[] => {
  const random = seededRandom(7);
  return Array.from({ length: count }, () => drawnFallOff(lamp, bed, random));
};

describe("how a lamp's light may fall", () => {
  // Inverse square and cosine: E = d / (d^2 + x^2)^(3/2). Source: textbook, "cos^4 law" as cos^3 over a flat bed.
  it("under a single lamp, falls as the cube of the cosine, towards its stray light", () => {
    for (const { at, strayShare, middleLight } of drawnLamps({ kind: "point", distanceMm: 200 }, 50)) {
      const [middle, near, edge] = [0.5, 0.75, 1].map((x) => at({ x, y: 0.5 }).light) as [number, number, number];
      expect(middle).toBeCloseTo(middleLight, 12);
      // A ruler's few per cent of the 200 mm, told from the light half way and held against that at the edge.
      const bare = (light: number): number => (light / middle) * (1 + strayShare) - strayShare;
      const distance = 100 / Math.sqrt(bare(near) ** (-2 / 3) - 1);
      expect(distance).toBeGreaterThan(160);
      expect(distance).toBeLessThan(250);
      expect(bare(edge)).toBeCloseTo((1 + (200 / distance) ** 2) ** -1.5, 9);
    }
  });

  it("without any knowledge, comes from tubes, diodes, an even panel and a single lamp about alike often", () => {
    const lamps = drawnLamps(null, 800);
    const single = lamps.filter(({ partCount }) => partCount === 0).length;
    // Half of the others has as many parts as tubes or the fields of a panel: a few panels of diodes do, too.
    const few = lamps.filter(({ partCount }) => partCount > 0 && partCount <= 16).length;
    // A quarter of 800 is known to 12 by chance.
    expect(Math.abs(single - 200)).toBeLessThan(37);
    expect(few).toBeGreaterThan(350);
    expect(few).toBeLessThan(480);
  });

  it("under tubes or a field, the parts' shares and the stray light make one whole everywhere", () => {
    for (const kind of ["tubes", "led", "panel"] as const) {
      const lamp = { kind, widthMm: 420, heightMm: 420, distanceMm: 90, tubeCount: 7 };
      for (const { at, strayShare, middleLight } of drawnLamps(lamp, 20)) {
        const stray = (middleLight * strayShare) / (1 + strayShare);
        for (const place of plannedPlaces(9)) {
          const { light, parts } = at(place);
          expect(parts.reduce((sum, share) => sum + share, stray / light)).toBeCloseTo(1, 12);
        }
      }
    }
  });

  it("under a panel, its fields together give the light of the whole", () => {
    const size = { width: 300, height: 200, distance: 90 };
    const fields = panelOver({ ...size, toSide: 4 });
    for (const [across, down] of [
      [0, 0],
      [-140, 30],
      [170, -120],
    ] as const) {
      const sum = fields({ across, down }).reduce((total, light) => total + light, 0);
      expect(sum).toBeCloseTo(panelAt({ ...size, x: across, y: down }), 12);
    }
  });

  it("under diodes, some are dead in about six panels of ten, and none is in the others", () => {
    const panels = drawnLamps({ kind: "led", widthMm: 420, heightMm: 420, distanceMm: 90 }, 400);
    const withDead = panels.filter(({ at }) => at({ x: 0.5, y: 0.5 }).parts.includes(0)).length;
    expect(Math.abs(withDead / panels.length - 0.6)).toBeLessThan(0.08);
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

  it("under a single lamp that nobody described, evener than others would be, holds the true difference too", () => {
    const { held } = bedCoverage("a single lamp", { count: 5, beds: 20, seed: 81_000, knows: false });
    // Of 20 beds at 95 %, fewer than 17 are held in one of 60 runs. Equal tails held 16.
    expect(held).toBeGreaterThanOrEqual(0.85);
  }, 120_000);

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
