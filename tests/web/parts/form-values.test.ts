import { describe, expect, it } from "vitest";
import { durationListOf, instantOfLocal, numberListOf, numberOf, secondsOf } from "#src/web/parts/form-values.ts";
import { freshTestForm, formValuesOf, testRequestFrom } from "#src/web/tests/form.ts";

describe("numberOf", () => {
  it.each([
    ["0.15", 0.15],
    ["0,15", 0.15],
    [" 21 ", 21],
    ["-3", -3],
  ])("reads %j", (text, value) => {
    expect(numberOf({ x: text }, "x")).toBe(value);
  });

  it("tells nothing typed from something that is no number", () => {
    expect(numberOf({ x: " " }, "x")).toBeUndefined();
    expect(numberOf({ x: "1e3" }, "x")).toBeNaN();
    expect(numberOf({ x: "soon" }, "x")).toBeNaN();
  });
});

describe("numberListOf", () => {
  it.each([
    ["0.05 0.20 0.35", [0.05, 0.2, 0.35]],
    ["0.05, 0.20, 0.35", [0.05, 0.2, 0.35]],
    ["0,05; 0,20; 0,35", [0.05, 0.2, 0.35]],
    ["0,05\n0,20\n0,35", [0.05, 0.2, 0.35]],
    ["0,128,255", [0, 128, 255]],
    ["0,04 0,20", [0.04, 0.2]],
    ["0,05 0,20 0,35\n", [0.05, 0.2, 0.35]],
    ["0, 51, 102", [0, 51, 102]],
    ["0 51, 102", [0, 51, 102]],
    ["0,51,102 153,204,255", [0, 51, 102, 153, 204, 255]],
  ])("reads %j", (text, list) => {
    expect(numberListOf(text)).toEqual(list);
  });
});

describe("times on a form", () => {
  it("takes minutes and seconds, or a clock typed into the minutes", () => {
    expect(secondsOf({ m: "8", s: "30" }, "m", "s")).toBe(510);
    expect(secondsOf({ m: "8:30", s: "" }, "m", "s")).toBe(510);
    expect(secondsOf({ m: "", s: "" }, "m", "s")).toBeUndefined();
    expect(secondsOf({ m: "eight", s: "" }, "m", "s")).toBeNaN();
  });

  it("takes a list of times", () => {
    expect(durationListOf("16:00 8:00, 4 min 30 s")).toEqual([960, 480, 240, 30]);
  });

  it("joins a local time with its offset, and refuses what is no time", () => {
    expect(instantOfLocal("2026-05-01T14:30", "+02:00")).toBe("2026-05-01T14:30:00+02:00");
    expect(instantOfLocal("yesterday", "+02:00")).toBeUndefined();
  });
});

describe("the new-test form", () => {
  const materials = { lampId: "l", supportId: "s", coatingId: "c" };

  it("becomes the request that it stands for", () => {
    const parsed = testRequestFrom(
      {
        ...freshTestForm,
        tabletChoice: "even-31",
        exposureMinutes: "12",
        exposureSecondsPart: "30",
        targetSharePercent: "85",
      },
      materials,
    );
    expect(parsed).toMatchObject({
      request: {
        tablet: { kind: "transmission", steps: 31, increment: 0.1 },
        exposureSeconds: 750,
        targetShare: 0.85,
        channel: "red",
      },
    });
  });

  it("adds up the waits of a strip that was uncovered in steps", () => {
    const parsed = testRequestFrom(
      { ...freshTestForm, tabletChoice: "timed", timedTimes: "60 30 30", timedMeaning: "waits" },
      materials,
    );
    expect(parsed).toMatchObject({ request: { tablet: { kind: "timed", seconds: [120, 60, 30] } } });
  });

  it("takes plain numbers as the unit says, and asks when a sun test leaves it open", () => {
    const strip = { ...freshTestForm, tabletChoice: "timed", timedTimes: "32 16 8 4 2 1" };
    expect(testRequestFrom({ ...strip, timedUnit: "minutes" }, materials)).toMatchObject({
      request: { tablet: { seconds: [1920, 960, 480, 240, 120, 60] } },
    });
    expect(testRequestFrom(strip, materials)).toMatchObject({ request: { tablet: { seconds: [32, 16, 8, 4, 2, 1] } } });
    const inTheSun = { ...strip, sunLatitude: "45", sunLongitude: "5", sunStartedAt: "2026-06-21T13:00" };
    expect(testRequestFrom(inTheSun, materials)).toMatchObject({
      errors: { timedTimes: expect.stringContaining("minutes or seconds") as string },
    });
    expect(testRequestFrom({ ...inTheSun, timedUnit: "minutes" }, materials)).toHaveProperty("request");
    expect(testRequestFrom({ ...inTheSun, timedTimes: "32:00 16:00 8:00" }, materials)).toHaveProperty("request");
  });

  it("takes a doubling series that was chosen instead of typed times, and typed times before a series", () => {
    const chosen = { ...freshTestForm, tabletChoice: "timed", timedSeries: "960-8-1" };
    expect(testRequestFrom(chosen, materials)).toMatchObject({
      request: { tablet: { kind: "timed", seconds: [960, 480, 240, 120, 60, 30, 15, 7.5] } },
    });
    expect(testRequestFrom({ ...chosen, timedTimes: "60 30 15" }, materials)).toMatchObject({
      request: { tablet: { kind: "timed", seconds: [60, 30, 15] } },
    });
  });

  it("names every field at fault in plain words", () => {
    const parsed = testRequestFrom(
      { ...freshTestForm, tabletChoice: "listed", densities: "0.05 x", exposureMinutes: "", humidityPercent: "200" },
      materials,
    );
    expect(Object.keys("errors" in parsed ? parsed.errors : {}).sort()).toEqual([
      "densities",
      "exposureSeconds",
      "humidityPercent",
    ]);
  });

  it("shows a saved request so that sending it again changes nothing", () => {
    const first = testRequestFrom(
      {
        ...freshTestForm,
        tabletChoice: "listed",
        densities: "0.05 0.2 0.41 0.6",
        exposureMinutes: "12",
        madeAt: "2026-05-01T14:30",
        utcOffset: "+02:00",
        sunLatitude: "48",
        sunLongitude: "16",
        sunStartedAt: "2026-05-01T14:00",
        sunTiltDegrees: "30",
        notes: "cold",
      },
      materials,
    );
    if (!("request" in first)) throw new Error("The form was refused.");
    expect(testRequestFrom(formValuesOf(first.request), materials)).toEqual(first);
  });
});
