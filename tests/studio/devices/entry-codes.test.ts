import { describe, expect, it } from "vitest";
import { InputError } from "#shared/errors.ts";
import { entryCodes } from "#src/studio/devices/entry-codes.ts";

function clock(): { now: () => Date; pass: (minutes: number) => void } {
  let ms = Date.parse("2026-05-04T10:00:00Z");
  return { now: () => new Date(ms), pass: (minutes) => void (ms += minutes * 60_000) };
}

function codeOf(work: () => unknown): string {
  try {
    work();
  } catch (error) {
    return error instanceof InputError ? error.code : String(error);
  }
  return "let in";
}

const wrong = "AAAA-AAAA";

describe("an entry code", () => {
  it("is eight letters that nobody takes for another, and never the same", () => {
    const codes = entryCodes();
    const made = Array.from({ length: 500 }, () => codes.make("reader").code);
    for (const code of made) expect(code).toMatch(/^[2-9A-HJ-NP-Z]{4}-[2-9A-HJ-NP-Z]{4}$/);
    expect(new Set(made).size).toBe(500);
  });

  it("lets in once, however it is typed, with the role it was made for", () => {
    const codes = entryCodes();
    const { code } = codes.make("keeper");
    expect(codes.redeem(` ${code.toLowerCase().replace("-", " ")} `, "192.168.1.5")).toBe("keeper");
    expect(codeOf(() => codes.redeem(code, "192.168.1.5"))).toBe("wrong-code");
    expect(codes.current()).toBeNull();
  });

  it("is too old after ten minutes", () => {
    const time = clock();
    const codes = entryCodes(time);
    const { code } = codes.make("reader");
    time.pass(9.9);
    expect(codes.current()?.code).toBe(code);
    time.pass(0.1);
    expect(codes.current()).toBeNull();
    expect(codeOf(() => codes.redeem(code, "192.168.1.5"))).toBe("wrong-code");
  });

  it("is good no longer once another was made, or it was withdrawn", () => {
    const codes = entryCodes();
    const first = codes.make("keeper").code;
    const second = codes.make("reader").code;
    expect(codeOf(() => codes.redeem(first, "192.168.1.5"))).toBe("wrong-code");
    codes.withdraw();
    expect(codeOf(() => codes.redeem(second, "192.168.1.5"))).toBe("wrong-code");
  });

  it.each(["", "none", "NONE", "-", "ABCD", "x".repeat(10_000), "\u0000", "constructor"])(
    "that is no code (%j) lets nobody in, whether one is good or not",
    (typed) => {
      const codes = entryCodes();
      expect(codeOf(() => codes.redeem(typed, "192.168.1.5"))).toBe("wrong-code");
      codes.make("keeper");
      expect(codeOf(() => codes.redeem(typed, "192.168.1.5"))).toBe("wrong-code");
    },
  );
});

describe("guessing", () => {
  it("is over after eight tries of one address, for ten minutes, even with the right code; others go on", () => {
    const time = clock();
    const codes = entryCodes(time);
    const { code } = codes.make("reader");
    const tries = Array.from({ length: 9 }, () => codeOf(() => codes.redeem(wrong, "192.168.1.66")));
    expect(tries).toEqual([...Array<string>(8).fill("wrong-code"), "too-many-tries"]);
    expect(codeOf(() => codes.redeem(code, "192.168.1.66"))).toBe("too-many-tries");
    expect(codes.wrongTries()).toEqual({ count: 8, from: "192.168.1.66" });
    expect(codeOf(() => codes.redeem(code, "192.168.1.5"))).toBe("let in");
    time.pass(10);
    const next = codes.make("reader").code;
    expect(codeOf(() => codes.redeem(next, "192.168.1.66"))).toBe("let in");
  });

  it("from many addresses withdraws the code after forty tries", () => {
    const codes = entryCodes();
    const { code } = codes.make("reader");
    for (let host = 1; host <= 40; host++) codeOf(() => codes.redeem(wrong, `192.168.1.${host}`));
    expect(codes.current()).toBeNull();
    expect(codeOf(() => codes.redeem(code, "192.168.2.1"))).toBe("wrong-code");
    expect(codes.make("reader")).not.toBeNull();
    expect(codes.wrongTries()).toEqual({ count: 0, from: null });
  });

  it("from ever new addresses fills no memory: past a thousand, new ones wait until old ones are forgotten", () => {
    const time = clock();
    const codes = entryCodes(time);
    for (let n = 0; n < 1000; n++) codeOf(() => codes.redeem(wrong, `fd00::${n.toString(16)}`));
    expect(codeOf(() => codes.redeem(wrong, "fd00::ffff"))).toBe("too-many-tries");
    time.pass(10);
    expect(codeOf(() => codes.redeem(wrong, "fd00::ffff"))).toBe("wrong-code");
  });
});
