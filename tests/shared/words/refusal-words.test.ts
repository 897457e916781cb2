// What an act refuses: an error with its status code and field, the fact's own numbers and names in the sentence.
import { describe, expect, it } from "vitest";
import { refusal } from "#shared/words/refusal-words.ts";

describe("refusals in words", () => {
  it("names what is not there by the trade's noun, with the id where one was sent", () => {
    const named = refusal(
      "bad-request",
      { code: "no-such-ingredient", what: "support", id: "x9" },
      { field: "supportId" },
    );
    expect(named).toMatchObject({ name: "InputError", code: "bad-request", field: "supportId" });
    expect(named.detail).toBe('There is no paper or fabric "x9": choose one from the list, or add it first.');
    const unnamed = refusal("bad-request", { code: "no-such-ingredient", what: "tablet" });
    expect(unnamed.detail).toBe("There is no such tablet: choose one from the list, or add it first.");
  });

  it("when one of several pictures stops the reading, says which, and what was wrong with it", () => {
    const { detail } = refusal("not-a-picture", {
      code: "further-picture-stops",
      picture: 3,
      detail: "It is cut short.",
    });
    expect(detail).toContain("Picture 3 of this print: It is cut short.");
    expect(detail).toContain("leave this picture out");
  });
});
