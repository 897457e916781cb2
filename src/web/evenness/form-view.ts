// View objects of the evenness form, and of the page on which the exposed area is shown.
import { tabletCounts } from "#shared/schema/evenness.ts";
import type { Corners } from "#shared/schema/reading.ts";
import type { StoreReader } from "#src/store/store.ts";
import { recordChoices, testChoices } from "#src/web/parts/field-view.ts";
import { errorSummary, type FieldOrder } from "#src/web/parts/form-errors.ts";
import { textOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { hasCurve, newestCards, offeredTests } from "#src/web/tests/card.ts";
import { cornerWords } from "#src/web/tests/corners-view.ts";
import { freshTestForm } from "#src/web/tests/form.ts";
import { tabletsToChoose } from "#src/web/tests/form-view.ts";
import { stripSeries } from "#src/web/tests/strip-series.ts";
import { tabletCount } from "./tablet-places.ts";

/** First guess of the bed's corners: this share in from each edge of the picture. */
const guessMargin = 0.12;
const carriedNames = ["pictureId", "evenLightId", "testId", "lampId", "bedWidthMm", "bedHeightMm"] as const;

const fieldOrder: FieldOrder = [
  ["photo", "even-photo"],
  ["evenLight", "even-plain"],
  ["testId", "even-test"],
  "tabletChoice",
  ["count", "even-count"],
  ["bedWidthMm", "even-width"],
  ["bedHeightMm", "even-height"],
  ["lampId", "even-lamp"],
];

export function evennessFormView(store: StoreReader, values: FormValues, errors: FieldErrors) {
  const isTablets = textOf(values, "kind") === "tablets";
  const lamp = store.lamps.find(textOf(values, "lampId"));
  const lampField = lamp === undefined ? {} : { lampId: lamp.id };
  const keptId = (name: string): string =>
    store.pictures.find(textOf(values, name)) === undefined ? "" : textOf(values, name);
  const offered = isTablets ? [] : newestCards(store, { limit: offeredTests }, hasCurve);
  return {
    ways: [
      { kind: "exposure", words: "One even sheet" },
      { kind: "tablets", words: "Several tablets" },
    ].map((way) => ({
      words: way.words,
      isHere: (way.kind === "tablets") === isTablets,
      href: `/evenness?${String(new URLSearchParams({ kind: way.kind, ...lampField }))}`,
    })),
    lamps: recordChoices("not said", store.lamps.list()),
    hasTests: offered.length > 0,
    tests: testChoices(offered),
    bedWidthMm: values["bedWidthMm"] ?? String(lamp?.widthMm ?? ""),
    bedHeightMm: values["bedHeightMm"] ?? String(lamp?.heightMm ?? ""),
    sizeFrom:
      lamp !== undefined && values["bedWidthMm"] === undefined && (lamp.widthMm ?? lamp.heightMm ?? null) !== null
        ? lamp.name
        : null,
    placing: textOf(values, "placing"),
    count: tabletCount(values).count,
    counts: tabletCounts,
    values: { ...freshTestForm, ...values },
    tablets: tabletsToChoose(values["tabletChoice"], { forTones: false }),
    stripSeries,
    errors,
    pictureId: keptId("pictureId"),
    evenLightId: keptId("evenLightId"),
    summary: errorSummary(errors, fieldOrder),
  };
}

interface EvennessCornersParts {
  readonly values: FormValues;
  /** Size of the upright picture [px]. */
  readonly size: { readonly width: number; readonly height: number };
  /** Corners given before; absent guesses them. */
  readonly corners: Corners | undefined;
  readonly problem: string | null;
}

export function evennessCornersPage({ values, size, corners, problem }: EvennessCornersParts) {
  const pictureId = textOf(values, "pictureId");
  const { width, height } = size;
  const [left, right, top, bottom] = [
    guessMargin * width,
    (1 - guessMargin) * width,
    guessMargin * height,
    (1 - guessMargin) * height,
  ].map(Math.round) as [number, number, number, number];
  const shown: Corners = corners ?? [
    [left, top],
    [right, top],
    [right, bottom],
    [left, bottom],
  ];
  const view = {
    pictureId,
    width,
    height,
    problem,
    hidden: carriedNames.map((name) => ({ name, value: textOf(values, name) })).filter(({ value }) => value !== ""),
    fields: shown.map(([x, y], index) => ({
      name: `corners.${index}`,
      words: (cornerWords[index] ?? "").replace("tablet", "exposed area"),
      x,
      y,
    })),
    outline: shown.map(([x, y]) => `${x},${y}`).join(" "),
  };
  return { view, data: { width, height, corners: shown } };
}
