// What was tested in one box, and which of its tests speak of drift.
import { describe, expect, it } from "vitest";
import { boxCombinations, type BoxTests } from "#shared/lookup/box-combinations.ts";
import type { TimedTest } from "#shared/lookup/lookup-input.ts";
import type { TestSummary } from "#shared/schema/test.ts";

type Made = Partial<TestSummary> & { id: string; madeAt: string; logSeconds?: number };

const summary = ({ logSeconds: _logSeconds, ...changes }: Made): TestSummary => ({
  createdAt: changes.madeAt,
  updatedAt: changes.madeAt,
  name: "",
  invented: false,
  lampId: "box",
  supportId: "rag",
  coatingId: "blue",
  filmId: null,
  pictureId: `picture of ${changes.id}`,
  tabletKind: "transmission",
  channel: "red",
  exposureSeconds: 600,
  exposure: { seconds: 500, lowerSeconds: 450, upperSeconds: 560, targetShare: 0.9, filmDensity: 0, verdict: "ok" },
  dMax: 1.5,
  logExposureRange: 1.4,
  madeBy: "test",
  ...changes,
});

const timed = ({ id, madeAt, logSeconds = 2.7 }: Made, tabletSigmaLogH: number | null = null, sigmaLogH = 0.02) =>
  [
    id,
    {
      id,
      madeAt,
      shoulderLogH: logSeconds,
      sigmaLogH,
      tabletKind: "transmission",
      tabletSigmaLogH,
      exposureSeconds: 600,
    } as TimedTest,
  ] as const;

function combinations(newestFirst: readonly Made[], changes: Partial<BoxTests> = {}) {
  return boxCombinations({
    tests: newestFirst.map(summary),
    standings: new Map(),
    timed: new Map(newestFirst.map((made) => timed(made))),
    leftOut: new Set<string>(),
    changes: [],
    usualDistanceMm: 150,
    scatterBeside: () => null,
    at: "2026-06-01T10:00:00Z",
    ...changes,
  });
}

const may = (day: number): string => `2026-05-${String(day).padStart(2, "0")}T10:00:00Z`;
const three: readonly Made[] = [
  { id: "c", madeAt: may(20), logSeconds: 2.72 },
  { id: "b", madeAt: may(10), logSeconds: 2.71 },
  { id: "a", madeAt: may(1), logSeconds: 2.7 },
];
const driftIds = (changes: Partial<BoxTests> = {}, made: readonly Made[] = three): string[] =>
  (combinations(made, changes)[0]?.drift?.tests ?? []).map(({ id }) => id);

describe("boxCombinations", () => {
  it("groups by paper, coating and film, the one tested last first; tests without a time make none", () => {
    const found = combinations([
      { id: "d", madeAt: may(25), supportId: "cloth", exposure: { ...summary(three[0]!).exposure, seconds: null } },
      ...three,
      { id: "e", madeAt: may(1), filmId: "clear" },
    ]);
    expect(found.map(({ newest, filmId }) => [newest.id, filmId])).toEqual([
      ["c", null],
      ["e", "clear"],
    ]);
    expect(found[1]?.drift).toBeNull();
  });

  it("keeps the others apart, each with its reason", () => {
    const made: readonly Made[] = [
      ...three,
      { id: "again", madeAt: may(1), pictureId: "picture of a" },
      { id: "deep", madeAt: may(1), exposure: { ...summary(three[0]!).exposure, targetShare: 0.95 } },
      { id: "out", madeAt: may(1) },
      { id: "old", madeAt: "2026-04-01T10:00:00Z" },
    ];
    const [found] = combinations(made, {
      leftOut: new Set(["out"]),
      changes: [{ id: "x", kind: "tubes", scope: "lamp", scopeId: "box", at: "2026-04-20T00:00:00Z" }],
    });
    expect(found?.apart.map(({ id, reason }) => [id, reason])).toEqual([
      ["again", "same-picture"],
      ["deep", "other-share"],
      ["out", "left-out"],
      ["old", "before-change"],
    ]);
  });

  it("holds tests against each other, the oldest first", () => {
    expect(driftIds()).toEqual(["a", "b", "c"]);
  });

  it("when a test stood at another distance, tells no drift by it; one that says none stood at the usual", () => {
    const standing = (lampDistanceMm: number | null) => ({ lampDistanceMm, lampHours: null });
    expect(driftIds({ standings: new Map([["b", standing(300)]]) })).toEqual(["a", "c"]);
    expect(driftIds({ standings: new Map([["b", standing(150)]]) })).toEqual(["a", "b", "c"]);
  });

  it("when a change of tubes was noted, or a test left out, counts only the rest", () => {
    const change = { id: "x", kind: "tubes", scope: "lamp", scopeId: "box", at: "2026-05-05" } as const;
    expect(driftIds({ changes: [change] })).toEqual(["b", "c"]);
    expect(driftIds({ changes: [{ ...change, scopeId: "another box" }] })).toEqual(["a", "b", "c"]);
    // Noted for a day that is still to come, it parts nothing yet.
    expect(driftIds({ changes: [{ ...change, at: "2026-07-01" }] })).toEqual(["a", "b", "c"]);
    expect(driftIds({ leftOut: new Set(["a"]) })).toEqual(["b", "c"]);
  });

  it("when one picture was sent twice, counts its print once", () => {
    const twice = three.map((test) => (test.id === "a" ? test : { ...test, pictureId: "same" }));
    expect(driftIds({}, twice)).toEqual(["a", "c"]);
  });

  it("says when to test again, by the hours of the newest test where they were kept", () => {
    const standings = new Map([["c", { lampDistanceMm: null, lampHours: 240 }]]);
    expect(combinations(three, { standings })[0]?.retest).toMatchObject({ atLampHours: 340, isOverdue: false });
    expect(combinations(three)[0]?.retest.atLampHours).toBeNull();
    expect(combinations(three, { at: "2027-06-01T10:00:00Z" })[0]?.retest.isOverdue).toBe(true);
  });

  it("holds tests of one tablet against each other without the tablet's error, which moves them alike", () => {
    const made = [2.85, 2.7, 2.71, 2.69, 2.7, 2.71, 2.69].map((logSeconds, i) => ({
      id: `t${i}`,
      madeAt: may(20 - 2 * i),
      logSeconds,
    }));
    const withTablet = (tabletSigma: number | null): BoxTests["timed"] =>
      new Map(made.map((each) => timed(each, tabletSigma, 0.05)));
    const isOdd = (tabletSigma: number | null): boolean | undefined =>
      combinations(made, { timed: withTablet(tabletSigma) })[0]?.drift?.isNewestOdd;
    expect(isOdd(0.047)).toBe(true);
    expect(isOdd(null)).toBe(false);
  });
});
