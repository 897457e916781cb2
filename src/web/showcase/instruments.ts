// The larger instruments on the page of parts: corner handles, maps of the light, the queue. Every figure is made up.
import { mapFigure, type DrawnMap } from "#src/web/evenness/map-view.ts";

const [rows, columns] = [5, 7];

/** Light over a made-up bed: best left of the middle, weaker towards the edges [stops]. */
function stopsAt(row: number, column: number, steepness: number): number {
  const across = (column + 0.5) / columns - 0.45;
  const down = (row + 0.5) / rows - 0.5;
  return -steepness * (across * across + 0.8 * down * down);
}

/** @param steepness how much weaker the edges are; 0 for an even bed */
function bed(kind: DrawnMap["kind"], steepness: number): ReturnType<typeof mapFigure> {
  const stops = Array.from({ length: rows * columns }, (_, index) =>
    stopsAt(Math.floor(index / columns), index % columns, steepness),
  );
  const isUneven = steepness > 0.5;
  return mapFigure({
    id: "",
    kind,
    columns,
    rows,
    stops,
    percent: stops.map((each) => 100 * 2 ** each),
    contours: isUneven
      ? [
          { stops: 0.1, pieces: squareRound(0.22) },
          { stops: 0.3, pieces: squareRound(0.36) },
        ]
      : [],
    places: [
      { x: 0.15, y: 0.2, stops: -0.2 },
      { x: 0.45, y: 0.5, stops: 0 },
      { x: 0.85, y: 0.8, stops: -0.4 },
    ],
    workArea: {
      x: isUneven ? 0.25 : 0.02,
      y: isUneven ? 0.25 : 0.02,
      ...workSize(isUneven),
      widthMm: 300,
      heightMm: 210,
    },
    corners: null,
  });
}

const workSize = (isUneven: boolean): { width: number; height: number } =>
  isUneven ? { width: 0.4, height: 0.5 } : { width: 0.96, height: 0.96 };

/** Sides of an upright square round the best place, in shares of the bed. */
function squareRound(half: number): [number, number, number, number][] {
  const [left, right, top, bottom] = [0.45 - half, 0.45 + half, 0.5 - half, 0.5 + half];
  return [
    [left, top, right, top],
    [right, top, right, bottom],
    [right, bottom, left, bottom],
    [left, bottom, left, top],
  ];
}

const waiter = (id: string, who: string, what: string) => ({ id, who, what, box: "Box one", since: "10:40" });

/** A strip of eight steps on the made-up picture, 800 by 450, its third step flagged. */
const stripTop = 140;
const steps = Array.from({ length: 8 }, (_, index) => {
  const [left, right] = [160 + 60 * index + 7, 160 + 60 * (index + 1) - 7];
  return {
    points: `${left},${stripTop + 20} ${right},${stripTop + 20} ${right},${stripTop + 120} ${left},${stripTop + 120}`,
    isFlagged: index === 2,
  };
});

/** Handles at the corners of that strip, and the one that moves all of them; where they lie, the style sheet says. */
const handles = [
  { name: "1", words: "Corner 1, at rest", look: "parts-at-1" },
  { name: "2", words: "Corner 2, held", look: "parts-at-2 held" },
  { name: "3", words: "Corner 3, at rest", look: "parts-at-3" },
  { name: "4", words: "Corner 4, at rest", look: "parts-at-4" },
  { name: "", words: "All four corners together", look: "parts-at-5 whole" },
] as const;

export interface Instruments {
  readonly corners: { readonly steps: typeof steps; readonly handles: typeof handles };
  readonly maps: readonly { readonly name: string; readonly map: ReturnType<typeof mapFigure> }[];
  readonly queues: readonly {
    readonly name: string;
    readonly view: { waiting: ReturnType<typeof waiter>[]; done: ReturnType<typeof waiter>[]; lampId: string };
  }[];
}

export function instruments(): Instruments {
  const [one, two, three] = [
    waiter("parts-one", "Ada", "two sheets of rag paper"),
    waiter("parts-two", "Somebody with a name that is rather long", ""),
    waiter("parts-three", "Third", "cotton, 1 m"),
  ];
  return {
    corners: { steps, handles },
    maps: [
      { name: "Uneven, by tablets", map: bed("tablets", 1.4) },
      { name: "Even, by one sheet", map: bed("exposure", 0.1) },
    ],
    queues: [
      { name: "Nobody waits", view: { waiting: [], done: [], lampId: "" } },
      { name: "Three wait", view: { waiting: [one, two, three], done: [], lampId: "" } },
      { name: "One waits, one is done", view: { waiting: [two], done: [one], lampId: "" } },
    ],
  };
}
