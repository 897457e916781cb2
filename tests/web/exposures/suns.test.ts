// Tests under two suns of one place, looked up by page and API.
import request from "supertest";
import { describe, expect, it } from "vitest";
import type { ExposureAnswer } from "#shared/schema/exposures.ts";
import { shoulderAboveMiddle } from "../../support/curve-imaging.ts";
import { lookupStudio } from "../../support/studios/lookup-studio.ts";
import { placesOfBothHalves, serverClockOf, shownSeconds } from "../../support/studios/places-of-both-halves.ts";

describe.each(placesOfBothHalves)("looked up under the sun of $city", (place) => {
  serverClockOf(place);
  const { latitude, longitude, timeZone, summer, winter } = place;

  it("two seasons' tests are never pooled: the newest one's time, and the way to the planner", async () => {
    const { app, ids, saveTest } = await lookupStudio();
    const under = (startedAt: string) => ({
      lampId: ids["sun"],
      sun: { latitude, longitude, timeZone, startedAt, tiltDegrees: 0, facingDegrees: 0 },
      madeAt: startedAt,
    });
    // The weak winter sun needs 2.5 times as long; which half of the year is the newer one differs by hemisphere.
    const saved = [
      { id: await saveTest({ ...under(summer), middle: 2, seed: 1 }), middle: 2, at: Date.parse(summer) },
      { id: await saveTest({ ...under(winter), middle: 2.4, seed: 2 }), middle: 2.4, at: Date.parse(winter) },
    ];
    const newest = saved.reduce((a, b) => (b.at > a.at ? b : a));
    const asked = { lampId: ids["sun"]!, supportId: ids["paper"]!, coatingId: ids["blue"]!, filmId: ids["film"]! };
    const answer = (await request(app).get("/api/exposures").query(asked).expect(200)).body as ExposureAnswer;
    expect(answer.testIds).toEqual([newest.id]);
    const trueSeconds = 10 ** (newest.middle + shoulderAboveMiddle + 0.1);
    expect(Math.abs(Math.log2((answer.seconds ?? 0) / trueSeconds))).toBeLessThan(0.15);
    expect(answer.provenance.join(" ")).toContain("other suns");
    expect(answer.provenance.join(" ")).not.toMatch(/bottle|humidity/);
    expect(answer.warnings.map(({ code }) => code)).toContain("sun-changes");
    const { text } = await request(app).get("/exposures").query(asked).expect(200);
    expect(Math.abs(shownSeconds(text) - (answer.seconds ?? 0))).toBeLessThanOrEqual(0.02 * trueSeconds);
    expect(text).toContain("holds only for a sun like that of the test");
    expect(text).toMatch(/href="\/sun[?"]/);
    expect(text).toContain(`anchor=test%3A${newest.id}`);
    // Beside the large time, as on the test's own page: whoever reads no further knows which sun it is of.
    expect(text).toMatch(/<p class="answer-conditions">In a sun like that of \d+ \w+ 20\d\d, \d\d:\d\d, \d+° high\./);
  });
});
