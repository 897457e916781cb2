// Years that slipped into the future.
import { describe, expect, it } from "vitest";
import { refuseDayToCome } from "#src/studio/day-to-come.ts";

const inDays = (days: number): string => new Date(Date.now() + days * 24 * 3600 * 1000).toISOString();

describe("refuseDayToCome", () => {
  it("when no day is given, or one that has been or is near, lets it through", () => {
    for (const at of [undefined, null, "1999-05-01", inDays(0), inDays(2), inDays(300)]) refuseDayToCome(at, "madeAt");
  });

  it("when the day lies more than a year ahead, names the field and the year", () => {
    expect(() => {
      refuseDayToCome("2962-05-01T10:00:00Z", "madeAt");
    }).toThrow(expect.objectContaining({ field: "madeAt", detail: expect.stringContaining("2962") }));
    expect(() => {
      refuseDayToCome(inDays(400).slice(0, 10), "at");
    }).toThrow(expect.objectContaining({ code: "bad-request", field: "at" }));
  });
});
