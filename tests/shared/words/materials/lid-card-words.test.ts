// The words of a lid card: what hangs on a box for months must not promise what is past.
import { describe, expect, it } from "vitest";
import {
  addedTimeWords,
  bedEvennessWords,
  boxDescription,
  lidCautions,
  testAgainWords,
} from "#shared/words/materials/lid-card-words.ts";

describe("words of a lid card", () => {
  it("when a test is overdue, says expired instead of a day to come", () => {
    const due = { on: "2026-09-01", atLampHours: 412.4, isOverdue: false };
    expect(testAgainWords(due)).toBe("test again by 1 September 2026, or 412 h");
    expect(testAgainWords({ ...due, atLampHours: null })).toBe("test again by 1 September 2026");
    expect(testAgainWords({ ...due, isOverdue: true })).toBe("EXPIRED 1 September 2026: test again");
  });

  it("when a distance is known, says that the times hold there, after the first line of the notes", () => {
    expect(boxDescription({ notes: "Eight tubes\nbought used", distanceMm: 150.4 })).toBe(
      "Eight tubes Times hold at 150 mm from the light.",
    );
    expect(boxDescription({ notes: "", distanceMm: null })).toBe("");
  });

  it("where less light falls, says what share of time to add: one stop doubles it", () => {
    expect([0, -0.005, -0.5, -1].map(addedTimeWords)).toEqual(["0", "0", "+41 %", "+100 %"]);
  });

  it("when no map was kept, says nothing of evenness", () => {
    expect(bedEvennessWords({ evenness: null }, undefined)).toBe("");
    const evenness = { madeAt: "2026-05-01T10:00:00Z", rangeStops: 0.347, evenShare: 0.61 };
    expect(bedEvennessWords({ evenness }, undefined)).toMatch(/0\.35 stop; 61 % of it within a tenth of a stop/);
  });

  it("when the map is kept, gives the bed's figure with its range", () => {
    const evenness = { madeAt: "2026-05-01T10:00:00Z", rangeStops: 0.347, evenShare: 0.61 };
    const words = bedEvennessWords({ evenness }, { lowerStops: 0.21, upperStops: 0.48 });
    expect(words).toContain("0.35 stop (95 %: 0.21 to 0.48); 61 %");
  });

  it("warns of the light, the interlock and the baths, and defers to local rules", () => {
    const said = lidCautions.join(" ");
    for (const word of ["eyes", "interlock", "Gloves", "safety data sheets", "local rules"])
      expect(said).toContain(word);
  });
});
