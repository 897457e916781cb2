// What stops the work, in words: facts of the core become an error that can be shown, its numbers in the sentence.
import { describe, expect, it } from "vitest";
import { InputError, TroubleError } from "#shared/errors.ts";
import { negativeLayout } from "#shared/correction/layout/negative-layout.ts";
import { negativeRequestSchema } from "#shared/schema/negative.ts";
import { clockOfZone } from "#shared/sun/local-clock.ts";
import { sheetLayout } from "#shared/tablet/wedge-sheet-layout.ts";
import { errorInWords, inPlainWords, troubleWords } from "#shared/words/trouble-words.ts";

function thrownBy(work: () => unknown): unknown {
  try {
    work();
  } catch (error) {
    return error;
  }
  return undefined;
}

describe("troubles in words", () => {
  it("when the core is stopped, keeps code, field and further facts, and says what is wrong", () => {
    const trouble = thrownBy(() => clockOfZone("Mars/Olympus"));
    expect(trouble).toBeInstanceOf(TroubleError);
    expect(thrownBy(() => inPlainWords(() => clockOfZone("Mars/Olympus")))).toMatchObject({
      name: "InputError",
      code: "bad-request",
      field: "timeZone",
      detail: '"Mars/Olympus" is not a time zone known here. Write it like "Europe/Lisbon" or "America/Denver".',
    });
  });

  it("when a sheet is asked for outside its limits, names the option, the limits and what was given", () => {
    const said = errorInWords(thrownBy(() => sheetLayout({ levels: 4 })));
    expect(said).toMatchObject({ field: "levels", detail: "levels must be a whole number from 5 to 128, not 4." });
  });

  it("when a negative is too large, says its size in millions of pixels", () => {
    const request = negativeRequestSchema.parse({ testId: "t", widthMm: 1500, dpi: 1200 });
    const said = errorInWords(thrownBy(() => negativeLayout(request, { width: 3000, height: 2000 })));
    expect(said).toBeInstanceOf(InputError);
    // 1500 mm at 1200 dots per inch, two thirds of that the other way: 70,866 by 47,244 dots.
    expect(String(said)).toContain(`${Math.round((70_866 * 47_244) / 1e6)} million pixels on 1 sheet;`);
    expect(troubleWords({ code: "no-such-sheet", sheets: 4 })).toContain("4 sheets");
    expect(troubleWords({ code: "no-such-sheet", sheets: 1 })).toContain("1 sheet:");
  });

  it("when steps share too few pixels, thinks of turned corners only where the strip is longer the other way", () => {
    const small = { code: "strip-too-small", steps: 21 } as const;
    expect(troubleWords({ ...small, widthPx: 60, heightPx: 700 })).toContain("turn the corners by a quarter");
    expect(troubleWords({ ...small, widthPx: 80, heightPx: 20 })).not.toContain("quarter");
  });

  it("when something else was thrown, leaves it as it is", () => {
    const mistake = new RangeError("ours");
    expect(errorInWords(mistake)).toBe(mistake);
    expect(inPlainWords(() => 7)).toBe(7);
  });
});
