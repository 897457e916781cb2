import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { fitView, panView, showPoint, zoomView } from "#src/browser/parts/corners/view-box.ts";

const stage = { width: 400, height: 300 };
const picture = { width: 4000, height: 2000 };

describe("the view of a picture", () => {
  it("begins with the whole picture in the middle", () => {
    expect(fitView(stage, picture)).toEqual({ scale: 0.1, left: 0, top: 50 });
  });

  it("zooms about the point under the hand", () => {
    const view = zoomView(fitView(stage, picture), 4, 200, 150, stage, picture);
    expect(view.scale).toBeCloseTo(0.4);
    expect((200 - view.left) / view.scale).toBeCloseTo(2000);
    expect((150 - view.top) / view.scale).toBeCloseTo(1000);
  });

  it("never shows a gap beside a picture that is larger than the stage, nor loses it", () => {
    const moves = fc.array(
      fc.record({
        factor: fc.double({ min: 0.3, max: 3, noNaN: true }),
        x: fc.integer({ min: 0, max: 400 }),
        y: fc.integer({ min: 0, max: 300 }),
        dx: fc.integer({ min: -900, max: 900 }),
        dy: fc.integer({ min: -900, max: 900 }),
      }),
      { maxLength: 12 },
    );
    fc.assert(
      fc.property(moves, (list) => {
        let view = fitView(stage, picture);
        for (const { factor, x, y, dx, dy } of list)
          view = panView(zoomView(view, factor, x, y, stage, picture), dx, dy, stage, picture);
        const right = view.left + picture.width * view.scale;
        const bottom = view.top + picture.height * view.scale;
        const wide = picture.width * view.scale > stage.width + 1e-6;
        const tall = picture.height * view.scale > stage.height + 1e-6;
        return (
          (!wide || (view.left <= 1e-6 && right >= stage.width - 1e-6)) &&
          (!tall || (view.top <= 1e-6 && bottom >= stage.height - 1e-6)) &&
          view.scale >= 0.1 - 1e-9
        );
      }),
      { seed: 5 },
    );
  });

  it("brings a handle that lies outside back into sight", () => {
    const near = zoomView(fitView(stage, picture), 20, 0, 0, stage, picture);
    const shown = showPoint(near, [3000, 1500], stage, picture);
    const x = shown.left + 3000 * shown.scale;
    const y = shown.top + 1500 * shown.scale;
    expect(x).toBeGreaterThanOrEqual(0);
    expect(x).toBeLessThanOrEqual(stage.width);
    expect(y).toBeGreaterThanOrEqual(0);
    expect(y).toBeLessThanOrEqual(stage.height);
  });
});
