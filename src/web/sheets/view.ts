// View objects of the wedge sheet's page, and of a check sheet's.
import { formatDay } from "#shared/format/instant.ts";
import { formatFixed, formatLightness } from "#shared/format/number.ts";
import { plotAxis, type PlotSpec } from "#shared/format/plot.ts";
import { rangeSigmas } from "#shared/statistics/normal-distribution.ts";
import { sheetDefaults, sheetLayout, sheetLimits } from "#shared/tablet/wedge-sheet-layout.ts";
import { sheetPage } from "#shared/tablet/wedge-sheet-page.ts";
import { scaleWords } from "#shared/words/negatives/sheet-check-words.ts";
import type { SheetCheck } from "#src/studio/negatives/check-sheet.ts";
import type { Tools } from "#src/studio/tools.ts";
import type { FormValues } from "#src/web/parts/form-values.ts";
import { errorSummary } from "#src/web/parts/form-errors.ts";
import { newestCards } from "#src/web/tests/card.ts";
import { sheetOptionsFrom } from "./form.ts";

/** Sheets and strips shown on the page; the rest is in the list of tests. */
const shownTests = 12;
const previewDpi = 100;

export function sheetFormView(store: Tools["store"], asked: FormValues) {
  const { options, errors } = sheetOptionsFrom(asked);
  const toneTests = (["sheet", "levels"] as const)
    .flatMap((tabletKind) => newestCards(store, { tabletKind, limit: shownTests }))
    .slice(0, shownTests);
  const cards = toneTests.map((card) => ({
    ...card,
    isCheck: (store.tests.find(card.id)?.reading.sheet?.correctionMark ?? null) !== null,
  }));
  const kept = keptCurveChoices(store);
  const chosenCurve = kept.find(({ value }) => value !== "" && value === options?.curveId);
  const throughId = chosenCurve?.testId ?? options?.testId;
  const query = options === null ? null : queryOf({ ...sheetDefaults, ...options });
  const layout = options === null ? null : sheetLayout(options);
  return {
    values: {
      ...Object.fromEntries(Object.entries(sheetDefaults).map(([name, value]) => [name, String(value)])),
      paper: "a4",
      dpi: "300",
      mirror: "true",
      testId: "",
      curveId: "",
      target: "lightness",
      ...asked,
    },
    limits: sheetLimits,
    errors,
    summary: errorSummary(errors),
    query,
    previewQuery: options === null ? null : queryOf({ ...sheetDefaults, ...options, dpi: previewDpi }),
    size:
      layout === null
        ? null
        : {
            widthMm: layout.options.widthMm,
            heightMm: Math.round(layout.heightMm),
            patches: layout.patches.length,
            patchMm: formatFixed(layout.grid.pitchMm - layout.grid.gapMm, 1),
            hasWindow: sheetPage(layout, options?.paper ?? "a4").tabletWindow !== null,
          },
    corrections: cards.map(({ id, title }) => ({ id, title })),
    keptCurves: kept,
    readHref: readSheetHref(store, throughId),
    throughTitle: chosenCurve?.label ?? cards.find(({ id }) => id === options?.testId)?.title ?? null,
    cards,
  };
}

/** Kept curves that a sheet can be printed through; one with a scale of its own cannot be checked by a sheet. */
function keptCurveChoices(store: Tools["store"]): { value: string; label: string; testId: string }[] {
  const curves = store.keptCurves
    .list()
    .filter(({ target, testId }) => typeof target === "string" && store.tests.find(testId) !== undefined)
    .map(({ id, name, createdAt, testId }) => ({ value: id, label: `${name}, kept ${formatDay(createdAt)}`, testId }));
  return [{ value: "", label: "the test's present one", testId: "" }, ...curves];
}

/** The form of a new test with the sheet; of a check sheet with everything that its test was made with. */
function readSheetHref(store: Tools["store"], throughTestId: string | undefined): string {
  const through = throughTestId === undefined ? undefined : store.tests.find(throughTestId);
  const seconds = through?.request.exposureSeconds;
  const values: Record<string, string> = {
    tabletChoice: "sheet",
    ...(through === undefined
      ? {}
      : {
          lampId: through.request.lampId,
          supportId: through.request.supportId,
          coatingId: through.request.coatingId,
          filmId: through.request.filmId ?? "",
          name: `Check of ${through.request.name || "a sheet"}`.slice(0, 120),
        }),
    ...(seconds === undefined
      ? {}
      : { exposureMinutes: String(Math.floor(seconds / 60)), exposureSecondsPart: String(Math.round(seconds % 60)) }),
  };
  return `/tests/new?${new URLSearchParams(Object.entries(values).filter(([, value]) => value !== "")).toString()}`;
}

export function sheetCheckView(check: SheetCheck) {
  return {
    check,
    isGood: check.isStraight,
    figures: {
      after: { mean: formatFixed(check.after.mean, 1), worst: formatFixed(check.after.worst, 1) },
      before: { mean: formatFixed(check.before.mean, 1), worst: formatFixed(check.before.worst, 1) },
    },
    scaleWords: scaleWords[check.target],
    plot: checkPlot(check),
    rows: check.after.tones.map((tone) => ({
      level: Math.round(tone.level),
      wanted: formatLightness(tone.wantedLightness),
      got: formatLightness(tone.lightness),
      difference: signed(tone.difference),
      sigma: formatFixed(tone.sigma, 1),
    })),
  };
}

function signed(difference: number): string {
  const size = formatFixed(Math.abs(difference), 1);
  return size === "0.0" ? size : `${difference > 0 ? "+" : "−"}${size}`;
}

function queryOf(options: Readonly<Record<string, unknown>>): string {
  return new URLSearchParams(
    Object.entries(options)
      .filter(([, value]) => value !== undefined)
      .map(([name, value]): [string, string] => [name, String(value)]),
  ).toString();
}

/** Lightness against wanted level: before, through the correction, and what the correction aimed at. */
function checkPlot({ before, after, target }: SheetCheck): PlotSpec {
  const all = [...before.tones, ...after.tones];
  return {
    title: "Lightness of the print",
    summary:
      `L* against the wanted grey level. Through the correction the tones lie ${formatFixed(after.mean, 1)} from ` +
      `${scaleWords[target]} on average, ${formatFixed(after.worst, 1)} at worst; without it ` +
      `${formatFixed(before.mean, 1)} ` +
      `and ${formatFixed(before.worst, 1)}.`,
    x: plotAxis("wanted grey level (0 darkest, 255 white)", [0, 255], { count: 6 }),
    y: plotAxis(
      "lightness L*",
      all.map((tone) => tone.lightness),
      { count: 6 },
    ),
    series: [
      {
        name: `wanted: even ${target}`,
        kind: "line",
        look: 3,
        points: after.tones.map((tone) => ({ x: tone.level, y: tone.wantedLightness })),
      },
      {
        name: "without the correction",
        kind: "points",
        look: 2,
        points: before.tones.map((tone) => ({
          x: tone.level,
          y: tone.lightness,
          label: `Level ${Math.round(tone.level)}: L* ${formatFixed(tone.lightness, 1)} without the correction`,
        })),
      },
      {
        name: "through the correction (bars: 95 %)",
        kind: "points",
        look: 1,
        points: after.tones.map((tone) => ({
          x: tone.level,
          y: tone.lightness,
          lower: tone.lightness - rangeSigmas * tone.sigma,
          upper: tone.lightness + rangeSigmas * tone.sigma,
          label:
            `Level ${Math.round(tone.level)}: L* ${formatFixed(tone.lightness, 1)}, wanted ` +
            `${formatFixed(tone.wantedLightness, 1)}`,
        })),
      },
    ],
  };
}
