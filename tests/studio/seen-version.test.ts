// Two hands at one record.
import { describe, expect, it } from "vitest";
import { refuseIfChanged } from "#src/studio/seen-version.ts";

const current = { id: "a", updatedAt: "2026-05-01T10:00:00.000Z" };

describe("refuseIfChanged", () => {
  it("when the newest version was seen, or none was said, lets the change through", () => {
    refuseIfChanged(current.updatedAt, current, {});
    refuseIfChanged(undefined, current, {});
  });

  it("when an older version was seen, refuses and tells both, so that nothing has to be typed again", () => {
    const yours = { name: "mine" };
    expect(() => refuseIfChanged("2026-05-01T09:00:00.000Z", current, yours)).toThrow(
      expect.objectContaining({ code: "changed-meanwhile", field: "version", extra: { current, yours } }),
    );
  });
});
