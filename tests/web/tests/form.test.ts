import { describe, expect, it } from "vitest";
import type { FormValues } from "#src/web/parts/form-values.ts";
import { freshTestForm, testFormFrom } from "#src/web/tests/form.ts";
import { formValuesOf } from "#src/web/tests/saved-form.ts";

describe("the new-test form", () => {
  const read = (values: FormValues) =>
    testFormFrom(values, { ids: { lampId: "l", supportId: "s", coatingId: "c" }, errors: {} });

  it("becomes the request that it stands for", () => {
    const parsed = read({
      ...freshTestForm,
      tabletChoice: "even-31",
      exposureMinutes: "12",
      exposureSecondsPart: "30",
      targetSharePercent: "85",
    });
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
    const parsed = read({ ...freshTestForm, tabletChoice: "timed", timedTimes: "60 30 30", timedMeaning: "waits" });
    expect(parsed).toMatchObject({ request: { tablet: { kind: "timed", seconds: [120, 60, 30] } } });
  });

  it("takes plain numbers as the unit says, and asks when a sun test leaves it open", () => {
    const strip = { ...freshTestForm, tabletChoice: "timed", timedTimes: "32 16 8 4 2 1" };
    expect(read({ ...strip, timedUnit: "minutes" })).toMatchObject({
      request: { tablet: { seconds: [1920, 960, 480, 240, 120, 60] } },
    });
    expect(read(strip)).toMatchObject({ request: { tablet: { seconds: [32, 16, 8, 4, 2, 1] } } });
    const inTheSun = { ...strip, sunLatitude: "45", sunLongitude: "5", sunStartedAt: "2026-06-21T13:00" };
    expect(read(inTheSun)).toMatchObject({
      errors: { timedTimes: expect.stringContaining("minutes or seconds") as string },
    });
    expect(read({ ...inTheSun, timedUnit: "minutes" }).request).not.toBeNull();
    expect(read({ ...inTheSun, timedTimes: "32:00 16:00 8:00" }).request).not.toBeNull();
  });

  it("takes a doubling series that was chosen instead of typed times, and typed times before a series", () => {
    const chosen = { ...freshTestForm, tabletChoice: "timed", timedSeries: "960-8-1" };
    expect(read(chosen)).toMatchObject({
      request: { tablet: { kind: "timed", seconds: [960, 480, 240, 120, 60, 30, 15, 7.5] } },
    });
    expect(read({ ...chosen, timedTimes: "60 30 15" })).toMatchObject({
      request: { tablet: { kind: "timed", seconds: [60, 30, 15] } },
    });
  });

  it("names every field at fault in plain words", () => {
    const parsed = read({
      ...freshTestForm,
      tabletChoice: "listed",
      densities: "0.05 x",
      exposureMinutes: "",
      humidityPercent: "200",
    });
    expect(Object.keys(parsed.errors).sort()).toEqual(["densities", "exposureSeconds", "humidityPercent"]);
  });

  it("takes how uneven the coatings are in per cent, and leaves it open where nothing was typed", () => {
    const typed = { ...freshTestForm, exposureMinutes: "12" };
    expect(read({ ...typed, coatingUnevenPercent: "2.5" }).request).toMatchObject({ coatingGradientShare: 0.025 });
    expect(read(typed).request?.coatingGradientShare).toBeUndefined();
    expect(Object.keys(read({ ...typed, coatingUnevenPercent: "30" }).errors)).toEqual(["coatingUnevenPercent"]);
  });

  it("shows a saved request so that sending it again changes nothing", () => {
    const first = read({
      ...freshTestForm,
      tabletChoice: "listed",
      densities: "0.05 0.2 0.41 0.6",
      exposureMinutes: "12",
      coatingUnevenPercent: "1.5",
      madeAt: "2026-05-01T14:30",
      utcOffset: "+02:00",
      sunLatitude: "48",
      sunLongitude: "16",
      sunStartedAt: "2026-05-01T14:00",
      sunTiltDegrees: "30",
      notes: "cold",
    });
    if (first.request === null) throw new Error("The form was refused.");
    expect(read(formValuesOf(first.request))).toEqual(first);
  });
});
