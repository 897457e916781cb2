import { describe, expect, it } from "vitest";
import { lampKindOfName } from "#shared/lamp/kind-of-name.ts";

describe("the kind of a light by its name", () => {
  it.each([
    ["The sun", "sun"],
    ["Sun in the yard", "sun"],
    ["Open shade, out of the sun", "shade"],
    ["Box 2", "other"],
    ["Sunlamp", "other"],
    ["Lampshade", "other"],
  ] as const)("%s: %s", (name, kind) => {
    expect(lampKindOfName(name)).toBe(kind);
  });
});
