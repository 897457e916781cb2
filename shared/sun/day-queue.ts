// A day's queue of negatives: who goes out when, by how many frames and hands, so that most fit before the sun sinks.

/** One negative that waits. */
export interface QueueItem {
  readonly name: string;
  /**
   * How long it lies outside when it goes out at a minute of the day's grid [min]; null where it does not fit any more.
   */
  readonly minutesFrom: (startMinute: number) => number | null;
}

/** What the studio has. */
export interface QueueMeans {
  /** Frames that can lie outside at once, 1 or more. */
  readonly frames: number;
  /** People who load and unload, 1 or more. */
  readonly hands: number;
  /** To load a frame before it goes out, and to empty it when it is in [min]. */
  readonly loadMinutes: number;
  readonly emptyMinutes: number;
  /** Last minute at which a frame may come in; later ones do not fit. */
  readonly untilMinute: number;
}

/** One negative of the plan. Frames count from 1. */
interface QueuePlace {
  readonly item: number;
  readonly outMinute: number;
  readonly inMinute: number;
  readonly frame: number;
}

export interface QueuePlan {
  /** By the minute at which they go out. */
  readonly places: readonly QueuePlace[];
  /** Items that do not fit, in the order of the queue. */
  readonly leftOver: readonly number[];
}

/** Up to so many negatives every order is tried; beyond, orders that are near the queue's own, and shortest first. */
const mostForEveryOrder = 5;
/** So many of the best orders are tried again with one negative waiting a little, so that another finds free hands. */
const triedWithWaiting = 12;

interface Span {
  readonly from: number;
  readonly until: number;
}

const overlap = (a: Span, b: Span): boolean => a.from < b.until && b.from < a.until;

/** Most spans of a list that run at once within a span. */
function mostAtOnce(spans: readonly Span[], within: Span): number {
  const near = spans.filter((span) => overlap(span, within));
  return near.reduce((most, { from }) => {
    const at = Math.max(from, within.from);
    return Math.max(most, near.filter((span) => span.from <= at && at < span.until).length);
  }, 0);
}

/** Spans in which somebody's hands are at a frame: to load it, and to empty it. */
function handSpans({ outMinute, inMinute }: { outMinute: number; inMinute: number }, means: QueueMeans): Span[] {
  return [
    { from: outMinute - means.loadMinutes, until: outMinute },
    { from: inMinute, until: inMinute + means.emptyMinutes },
  ].filter(({ from, until }) => until > from);
}

const frameSpan = ({ outMinute, inMinute }: { outMinute: number; inMinute: number }, means: QueueMeans): Span => ({
  from: outMinute - means.loadMinutes,
  until: inMinute + means.emptyMinutes,
});

/** Number of a frame that is free for a stretch; null when none is. */
function freeFrame(places: readonly QueuePlace[], span: Span, means: QueueMeans): number | null {
  for (let frame = 1; frame <= means.frames; frame += 1)
    if (!places.some((place) => place.frame === frame && overlap(frameSpan(place, means), span))) return frame;
  return null;
}

interface PlaceWish {
  readonly item: number;
  readonly queue: readonly QueueItem[];
  readonly means: QueueMeans;
  /** Not out before this. */
  readonly afterMinute: number;
}

/** The item at the first minute at which a frame and hands are free; null where it does not fit. */
function placed(places: readonly QueuePlace[], { item, queue, means, afterMinute }: PlaceWish): QueuePlace | null {
  const hands = places.flatMap((place) => handSpans(place, means));
  for (let outMinute = Math.max(afterMinute, means.loadMinutes); outMinute < means.untilMinute; outMinute += 1) {
    const minutes = queue[item]?.minutesFrom(outMinute) ?? null;
    if (minutes === null || outMinute + minutes > means.untilMinute) continue;
    const stay = { outMinute, inMinute: outMinute + minutes };
    const own = handSpans(stay, means);
    const [load, empty] = own;
    const ownTwice = load !== undefined && empty !== undefined && overlap(load, empty) ? 1 : 0;
    if (own.some((span) => mostAtOnce(hands, span) + 1 + ownTwice > means.hands)) continue;
    const frame = freeFrame(places, frameSpan(stay, means), means);
    if (frame !== null) return { item, ...stay, frame };
  }
  return null;
}

/** One negative that waits some minutes longer than it must. */
interface Waiting {
  readonly item: number;
  readonly minutes: number;
}

function planInOrder(
  order: readonly number[],
  { queue, means }: Pick<PlaceWish, "queue" | "means">,
  waiting: Waiting | null = null,
): QueuePlan {
  const places: QueuePlace[] = [];
  const leftOver: number[] = [];
  for (const item of order) {
    const wish = { item, queue, means };
    const soonest = placed(places, { ...wish, afterMinute: 0 });
    const place =
      soonest === null || waiting?.item !== item
        ? soonest
        : placed(places, { ...wish, afterMinute: soonest.outMinute + waiting.minutes });
    if (place === null) leftOver.push(item);
    else places.push(place);
  }
  return {
    places: places.sort((a, b) => a.outMinute - b.outMinute || a.item - b.item),
    leftOver: leftOver.sort((a, b) => a - b),
  };
}

/** Every order of some numbers, the rising one first. */
function ordersOf(items: readonly number[]): number[][] {
  if (items.length < 2) return [[...items]];
  return items.flatMap((first, index) =>
    ordersOf([...items.slice(0, index), ...items.slice(index + 1)]).map((rest) => [first, ...rest]),
  );
}

/** The queue's own order, shortest first, longest first, and each with two neighbours exchanged. */
function likelyOrders(items: readonly number[], queue: readonly QueueItem[]): number[][] {
  const length = (item: number): number => {
    for (let minute = 0; minute < 1440; minute += 60) {
      const minutes = queue[item]?.minutesFrom(minute) ?? null;
      if (minutes !== null) return minutes;
    }
    return Infinity;
  };
  const shortest = [...items].sort((a, b) => length(a) - length(b));
  const starts = [[...items], shortest, [...shortest].reverse()];
  return starts.flatMap((order) => [
    order,
    ...order.slice(1).map((_item, index) => {
      const other = [...order];
      [other[index], other[index + 1]] = [order[index + 1] ?? 0, order[index] ?? 0];
      return other;
    }),
  ]);
}

const lastIn = ({ places }: QueuePlan): number => Math.max(0, ...places.map(({ inMinute }) => inMinute));

/** Sorts more negatives first, then an earlier end. */
const compared = (a: QueuePlan, b: QueuePlan): number => b.places.length - a.places.length || lastIn(a) - lastIn(b);

/**
 * The day's plan: as many negatives as fit, done as early as can be; among equals, in the order of the queue.
 * @param queue in the order of the wish; minutes count from the start of the day's plan
 * @returns each with its minute out and in, whole minutes out, and its frame
 * @throws RangeError without frames or hands
 * Valid: a frame that goes out later comes in later, which holds for every sun.
 */
export function dayQueue(queue: readonly QueueItem[], means: QueueMeans): QueuePlan {
  if (!(means.frames >= 1 && means.hands >= 1)) throw new RangeError("a plan takes at least one frame and one hand");
  const items = queue.map((_item, index) => index);
  const orders = items.length <= mostForEveryOrder ? ordersOf(items) : likelyOrders(items, queue);
  const plans = orders.map((order) => ({ order, plan: planInOrder(order, { queue, means }) }));
  plans.sort((a, b) => compared(a.plan, b.plan));
  const waits = Array.from({ length: means.loadMinutes + means.emptyMinutes }, (_, index) => index + 1);
  const waited = plans
    .slice(0, triedWithWaiting)
    .flatMap(({ order }) =>
      items.flatMap((item) => waits.map((minutes) => planInOrder(order, { queue, means }, { item, minutes }))),
    );
  // Sorting is stable, so that among equals the queue's own order comes first.
  const [best] = [...plans.map(({ plan }) => plan), ...waited].sort(compared);
  return best ?? { places: [], leftOver: [] };
}
