// The light of a bed from its blue, against the made-up coating that the blue was reckoned with.
import { describe, expect, it } from "vitest";
import { lightFromBlue } from "#shared/evenness/light-from-blue.ts";
import { blue, curveOfBlue } from "../../support/studios/saved-tablets.ts";
import { troubleOf } from "../../support/trouble-of.ts";

const curve = curveOfBlue();
/** Ten places side by side that got light changed by so many stops from a middle blue's. */
const bed = (stopsOf: (place: number) => number) =>
  Array.from({ length: 10 }, (_, i) => {
    const density = blue(2.2 + stopsOf(i) * Math.log10(2));
    return { x: i / 9, y: 0.5, red: density, visual: 0.6 * density };
  });

describe("lightFromBlue", () => {
  it("tells the light of each place beside the first's, in stops", () => {
    const falling = (i: number): number => -0.08 * i;
    const places = lightFromBlue(bed(falling), curve);
    expect(places).toHaveLength(10);
    places.forEach(({ x, stops }, i) => {
      expect(x).toBe(i / 9);
      // The curve is a fit to 21 steps of that coating: about a hundredth of a stop.
      expect(Math.abs(stops - places[0]!.stops - falling(i))).toBeLessThan(0.03);
    });
  });

  it("when up to three places in ten are too pale to tell, leaves them out", () => {
    const places = lightFromBlue(
      bed((i) => (i < 3 ? -6 : 0)),
      curve,
    );
    expect(places.map(({ x }) => Math.round(9 * x))).toEqual([3, 4, 5, 6, 7, 8, 9]);
  });

  it("when more tell nothing, says how much, and the time of a middle blue", () => {
    const trouble = troubleOf(() =>
      lightFromBlue(
        bed((i) => (i < 4 ? 6 : 0)),
        curve,
      ),
    );
    expect(trouble).toMatchObject({ code: "blue-tells-nothing", errorCode: "evenness-unknown", field: "photo" });
    expect(trouble?.share).toBeCloseTo(0.4, 9);
    // Half of the deepest blue at log H 2.2: 158 seconds, here within 3 %.
    expect(Math.abs(Number(trouble?.middleSeconds) / 10 ** 2.2 - 1)).toBeLessThan(0.03);
  });
});
