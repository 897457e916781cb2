import { describe, expect, it } from "vitest";
import { durationListOf, instantOfLocal, numberListOf, numberOf, secondsOf } from "#src/web/parts/form-values.ts";

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
