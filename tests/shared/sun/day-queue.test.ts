import { describe, expect, it } from "vitest";
import { dayQueue, type QueueItem, type QueueMeans } from "#shared/sun/day-queue.ts";
import { seededRandom } from "#shared/statistics/random.ts";

/** A made-up day whose light rises and sinks: the minutes until a dose has fallen, minute by minute. */
function item(name: string, dose: number, untilMinute: number): QueueItem {
  const strength = (minute: number): number => Math.max(0, Math.sin((Math.PI * (minute + 6)) / (untilMinute + 12)));
  return {
    name,
    minutesFrom(start) {
      let sum = 0;
      for (let minute = start; minute < untilMinute; minute += 1) {
        sum += strength(minute + 0.5);
        if (sum >= dose) return minute + 1 - start;
      }
      return null;
    },
  };
}

interface Stay {
  readonly out: number;
  readonly in: number;
}

/** Whether stays can be: never more frames or hands in use than there are. Minute by minute, unlike the planner. */
function canBe(stays: readonly Stay[], means: QueueMeans): boolean {
  for (let minute = -means.loadMinutes; minute < means.untilMinute + means.emptyMinutes; minute += 1) {
    let frames = 0;
    let hands = 0;
    for (const stay of stays) {
      if (minute >= stay.out - means.loadMinutes && minute < stay.in + means.emptyMinutes) frames += 1;
      if (minute >= stay.out - means.loadMinutes && minute < stay.out) hands += 1;
      if (minute >= stay.in && minute < stay.in + means.emptyMinutes) hands += 1;
    }
    if (frames > means.frames || hands > means.hands) return false;
  }
  return true;
}

/** The best of all ways to start some of the items at any minute: most that fit, then the earliest end. */
function bruteForce(queue: readonly QueueItem[], means: QueueMeans): { count: number; lastIn: number } {
  let best = { count: 0, lastIn: 0 };
  const tryFrom = (index: number, stays: readonly Stay[]): void => {
    const count = stays.length;
    const lastIn = Math.max(0, ...stays.map((stay) => stay.in));
    if (count > best.count || (count === best.count && lastIn < best.lastIn)) best = { count, lastIn };
    if (index === queue.length || count + queue.length - index < best.count) return;
    for (let out = means.loadMinutes; out < means.untilMinute; out += 1) {
      const minutes = queue[index]?.minutesFrom(out) ?? null;
      if (minutes === null || out + minutes > means.untilMinute) continue;
      const next = [...stays, { out, in: out + minutes }];
      if (canBe(next, means)) tryFrom(index + 1, next);
    }
    tryFrom(index + 1, stays);
  };
  tryFrom(0, []);
  return best;
}

describe("dayQueue", () => {
  it("on 100 small days, fits as many as the best of all ways, and ends as early", () => {
    const source = seededRandom(20_261);
    const random = (): number => source.uniform();
    let asMany = 0;
    let asEarly = 0;
    let worst = 0;
    for (let day = 0; day < 100; day += 1) {
      const untilMinute = 20 + Math.floor(random() * 14);
      const means: QueueMeans = {
        frames: 1 + Math.floor(random() * 2),
        hands: 1,
        loadMinutes: 1 + Math.floor(random() * 2),
        emptyMinutes: 1 + Math.floor(random() * 2),
        untilMinute,
      };
      const queue = Array.from({ length: 3 }, (_, index) => item(`${index}`, 1 + random() * 8, untilMinute));
      const truth = bruteForce(queue, means);
      const plan = dayQueue(queue, means);
      expect(
        canBe(
          plan.places.map(({ outMinute, inMinute }) => ({ out: outMinute, in: inMinute })),
          means,
        ),
      ).toBe(true);
      const lastIn = Math.max(0, ...plan.places.map(({ inMinute }) => inMinute));
      if (plan.places.length === truth.count) {
        asMany += 1;
        if (lastIn === truth.lastIn) asEarly += 1;
        worst = Math.max(worst, lastIn - truth.lastIn);
      }
    }
    expect({ asMany }).toEqual({ asMany: 100 });
    expect(asEarly).toBe(100);
    expect(worst).toBe(0);
  });

  it("with equal negatives and one frame, keeps the order of the queue", () => {
    const queue = ["A", "B", "C"].map((name): QueueItem => ({ name, minutesFrom: () => 10 }));
    const plan = dayQueue(queue, { frames: 1, hands: 1, loadMinutes: 2, emptyMinutes: 1, untilMinute: 60 });
    expect(plan.places.map(({ item: index, outMinute, inMinute }) => [index, outMinute, inMinute])).toEqual([
      [0, 2, 12],
      [1, 15, 25],
      [2, 28, 38],
    ]);
  });

  it("with one pair of hands, never has two frames to load or to bring in at once", () => {
    const queue = Array.from({ length: 6 }, (_, index): QueueItem => ({ name: `${index}`, minutesFrom: () => 7 }));
    const means = { frames: 4, hands: 1, loadMinutes: 3, emptyMinutes: 2, untilMinute: 90 };
    const plan = dayQueue(queue, means);
    expect(plan.places).toHaveLength(6);
    expect(
      canBe(
        plan.places.map((place) => ({ out: place.outMinute, in: place.inMinute })),
        means,
      ),
    ).toBe(true);
  });

  it("when the sun sinks too early, names those that do not fit", () => {
    const queue = [30, 50, 10].map((minutes): QueueItem => ({ name: "", minutesFrom: () => minutes }));
    const plan = dayQueue(queue, { frames: 1, hands: 1, loadMinutes: 2, emptyMinutes: 1, untilMinute: 60 });
    expect(plan.leftOver).toEqual([1]);
  });
});
