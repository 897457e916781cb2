// Several tablets on a bed: where a plan lays them, what a form says of them, what the page shows.
import { plannedPlaces } from "#shared/evenness/planned-places.ts";
import { tabletCounts } from "#shared/schema/evenness.ts";
import type { Corners, Tablet } from "#shared/schema/reading.ts";
import { declaredSteps } from "#shared/tablet/step-inputs.ts";
import { cornerWords } from "#src/web/tests/corners-view.ts";
import { numberOf, textOf, type Asked, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { cornersFrom } from "#src/web/parts/corners-form.ts";

/** Size of a tablet before it is marked, shares of the picture's sides. */
const guessedSize = { width: 0.24, height: 0.08 };
/** Where the bed's corners are guessed, share of the picture in from its edges. */
const bedGuessMargin = 0.06;
const usualCount = 5;

export interface TabletCount {
  readonly count: number;
  readonly canAdd: boolean;
  readonly canRemove: boolean;
}

/** How many tablets the form is about: what was typed, within what a map takes. */
export function tabletCount(values: FormValues): TabletCount {
  const typed = numberOf(values, "count") ?? usualCount;
  const count = Number.isFinite(typed)
    ? Math.min(tabletCounts.most, Math.max(tabletCounts.fewest, Math.round(typed)))
    : usualCount;
  return { count, canAdd: count < tabletCounts.most, canRemove: count > tabletCounts.fewest };
}

interface TabletsAsked {
  readonly corners: Corners | undefined;
  readonly tablets: readonly {
    readonly corners: Corners | undefined;
    readonly place?: { readonly x: number; readonly y: number };
  }[];
}

type Place = { readonly x: number; readonly y: number };

/** Corners and places from their fields; places in mm become shares of the bed. */
export function tabletsFrom(values: FormValues): Asked<TabletsAsked> {
  const isOnOneSheet = textOf(values, "placing") === "sheet";
  const bed = cornersFrom(values, "bed.");
  const tablets = Array.from({ length: tabletCount(values).count }, (_, i) => ({
    corners: cornersFrom(values, `tablets.${i}.`),
    place: isOnOneSheet ? null : placeFrom(values, i),
  }));
  return {
    value: {
      corners: isOnOneSheet ? bed.value : undefined,
      tablets: tablets.map(({ corners, place }) => ({
        corners: corners.value,
        ...(place === null ? {} : { place: place.value }),
      })),
    },
    errors: Object.assign(
      {},
      isOnOneSheet ? bed.errors : {},
      ...tablets.map(({ corners, place }) => ({ ...corners.errors, ...place?.errors })),
    ) as FieldErrors,
  };
}

function placeFrom(values: FormValues, i: number): Asked<Place> {
  const [widthMm, heightMm] = [
    numberOf(values, "bedWidthMm") ?? Number.NaN,
    numberOf(values, "bedHeightMm") ?? Number.NaN,
  ];
  const share = (name: string, ofMm: number): number => (numberOf(values, name) ?? Number.NaN) / ofMm;
  const value = { x: share(`tablets.${i}.leftMm`, widthMm), y: share(`tablets.${i}.backMm`, heightMm) };
  const isOnBed = value.x >= 0 && value.x <= 1 && value.y >= 0 && value.y <= 1;
  const sentence =
    `Tablet ${i + 1}: say in millimetres how far its steps of middle blue lay from the left edge and from ` +
    `the back edge; the bed is ${widthMm} by ${heightMm} mm.`;
  return { value, errors: isOnBed ? {} : { [`tablets.${i}.place`]: sentence } };
}

/** What the marking page shows: one row for each tablet, and one for the bed where the picture shows it. */
export function tabletRows(values: FormValues, { width, height }: { readonly width: number; readonly height: number }) {
  const { count } = tabletCount(values);
  const isOnOneSheet = textOf(values, "placing") === "sheet";
  const [widthMm, heightMm] = [numberOf(values, "bedWidthMm") ?? 1, numberOf(values, "bedHeightMm") ?? 1];
  const cornersOf = (prefix: string, guess: Corners): Corners => cornersFrom(values, prefix).value ?? guess;
  const tablets = plannedPlaces(count).map((planned, i) => {
    const typed = (name: string, otherwise: number): string =>
      values[`tablets.${i}.${name}`] ?? String(Math.round(otherwise));
    const place = isOnOneSheet
      ? null
      : { leftMm: typed("leftMm", planned.x * widthMm), backMm: typed("backMm", planned.y * heightMm) };
    return rowOf({
      key: `tablets.${i}`,
      name: `Tablet ${i + 1}`,
      short: String(i + 1),
      corners: cornersOf(`tablets.${i}.`, guessedCorners(planned, width, height)),
      place,
    });
  });
  const bed = [
    bedGuessMargin * width,
    (1 - bedGuessMargin) * width,
    bedGuessMargin * height,
    (1 - bedGuessMargin) * height,
  ].map(Math.round) as [number, number, number, number];
  const bedRow = isOnOneSheet
    ? [
        rowOf({
          key: "bed",
          name: "The bed",
          short: "bed",
          corners: cornersOf("bed.", [
            [bed[0], bed[2]],
            [bed[1], bed[2]],
            [bed[1], bed[3]],
            [bed[0], bed[3]],
          ]),
          place: null,
        }),
      ]
    : [];
  return [...tablets, ...bedRow];
}

export type TabletRow = ReturnType<typeof tabletRows>[number];

function rowOf({
  key,
  name,
  short,
  corners,
  place,
}: {
  key: string;
  name: string;
  short: string;
  corners: Corners;
  place: { leftMm: string; backMm: string } | null;
}) {
  const what = key === "bed" ? "bed" : "tablet";
  return {
    key,
    name,
    short,
    corners,
    place,
    outline: corners.map(([x, y]) => `${x},${y}`).join(" "),
    middle: { x: corners.reduce((sum, [x]) => sum + x, 0) / 4, y: corners.reduce((sum, [, y]) => sum + y, 0) / 4 },
    fields: corners.map(([x, y], index) => ({
      name: `${key}.corners.${index}`,
      words: (cornerWords[index] ?? "").replace("tablet", what),
      x,
      y,
    })),
  };
}

function guessedCorners({ x, y }: { x: number; y: number }, width: number, height: number): Corners {
  const [left, right] = [
    Math.round((x - guessedSize.width / 2) * width),
    Math.round((x + guessedSize.width / 2) * width),
  ].map((value) => Math.min(width, Math.max(0, value))) as [number, number];
  const [top, bottom] = [
    Math.round((y - guessedSize.height / 2) * height),
    Math.round((y + guessedSize.height / 2) * height),
  ] as [number, number];
  return [
    [left, top],
    [right, top],
    [right, bottom],
    [left, bottom],
  ];
}

/** What the page's script starts from. */
export function tabletsData(
  rows: readonly TabletRow[],
  {
    width,
    height,
    tablet,
    bed,
  }: { width: number; height: number; tablet: Tablet; bed: { widthMm: number; heightMm: number } },
) {
  return {
    width,
    height,
    steps: declaredSteps(tablet),
    bed,
    rows: rows.map(({ key, name, short, corners, place }) => ({ key, name, short, corners, hasPlace: place !== null })),
  };
}
