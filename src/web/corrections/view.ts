// View object of a tone curve's page: plots, points to type, files, and which way is which.
import { isToned, targetText } from "#shared/correction/target-text.ts";
import { formatDuration } from "#shared/format/duration.ts";
import { formatDay } from "#shared/format/instant.ts";
import { formatFixed, formatLightness } from "#shared/format/number.ts";
import type { PlotSpec } from "#shared/format/plot.ts";
import type {
  Calibration,
  Correction,
  CorrectionPoint,
  CorrectionTarget,
  PointsWish,
  FilmSuit,
  TonedTarget,
} from "#shared/schema/correction.ts";
import type { Warning } from "#shared/schema/reading.ts";
import { filmSuitWords } from "#shared/words/negatives/film-suit-words.ts";
import { filmSuitOfTest } from "#src/studio/negatives/film-suit-of-test.ts";
import { toneTests } from "#src/web/negatives/view.ts";
import type { TestCorrection } from "#src/studio/negatives/correct.ts";
import { filmOfTest } from "#src/studio/materials/measure-film.ts";
import type { Tools } from "#src/studio/tools.ts";
import { curvePlot, scalePlot } from "./plots.ts";

/** Every so many levels make a row of the table. */
const tableStep = 15;
interface CorrectionView {
  readonly testId: string;
  readonly invented: boolean;
  readonly pointsText: string;
  /** Target as an address names it. */
  readonly targetText: string;
  /** For a print that is toned afterwards: the tests to choose from, and those chosen. */
  readonly toned: {
    readonly isHere: boolean;
    readonly tests: readonly { readonly value: string; readonly label: string }[];
    readonly tonedTestId: string;
    readonly plainTestId: string;
  } | null;
  readonly negativeHref: string;
  /** Page on which the curve is kept as it is, blended or moved by hand. */
  readonly keepHref: string;
  readonly plots: readonly PlotSpec[];
  readonly points: readonly CorrectionPoint[];
  /** Lists of points to type: what each is for, and how close it comes. */
  readonly typing: {
    readonly tool: PointsWish["tool"];
    /** Closeness asked for, grey levels. */
    readonly wantedWithin: string;
    /** Closeness reached, grey levels and L* of the print. */
    readonly within: string;
    readonly withinLightness: string;
    readonly isAsAsked: boolean;
  };
  readonly rows: readonly { readonly wanted: string; readonly sent: string; readonly lightness: string }[];
  readonly warnings: readonly Warning[];
  readonly conditions: readonly { readonly term: string; readonly value: string }[];
  readonly files: readonly { readonly href: string; readonly name: string; readonly use: string }[];
  readonly film: FilmView | null;
  /** Whether the film suits, in a sentence with its figures, and the tone of its notice. */
  readonly suit: { readonly tone: "ok" | "note" | "caution"; readonly text: string };
  /** Page that says how straight a check sheet or strip came out; null for a first sheet. */
  readonly checkHref: string | null;
  readonly targets: readonly { readonly href: string; readonly label: string; readonly isHere: boolean }[];
}

interface FilmView {
  readonly throughTestId: string;
  readonly rows: readonly { readonly level: string; readonly density: string; readonly sigma: string }[];
  readonly warnings: readonly Warning[];
  /** Whether there is a film record to keep the ends with. */
  readonly canKeep: boolean;
}

const boundWords = { exact: "", "at-most": "at most ", "at-least": "at least " } as const;

function filmView(store: Tools["store"], testId: string): FilmView | null {
  const film = filmOfTest({ store }, testId);
  if (film === null) return null;
  const every = Math.max(1, Math.ceil(film.levels.length / 18));
  return {
    throughTestId: film.throughTestId,
    rows: film.levels
      .filter((_level, index) => index % every === 0 || index === film.levels.length - 1)
      .map(({ level, filmDensity, sigmaDensity, bound }) => ({
        level: formatFixed(level, 0),
        density: `${boundWords[bound]}${formatFixed(filmDensity, 2)}`,
        sigma: sigmaDensity === null ? "" : formatFixed(sigmaDensity, 2),
      })),
    warnings: film.warnings,
    canKeep:
      film.isSideBySide &&
      Boolean(store.tests.get(testId).request.filmId) &&
      (film.baseDensity !== null || film.maxDensity !== null),
  };
}

function conditionsOf(calibration: Calibration, averagedFrom: readonly string[]): CorrectionView["conditions"] {
  const rows: [string, string][] = [
    ["Refined from", averagedFrom.length > 1 ? averagedFrom.join(", and ") : ""],
    ["Test", calibration.testName],
    ["Printed", formatDay(calibration.madeAt)],
    ["Light", calibration.lamp],
    ["Paper or fabric", calibration.support],
    ["Coating", calibration.coating],
    ["Film", calibration.film],
    ["Printer of the film", calibration.device],
    ["Exposure", calibration.exposureSeconds === null ? "" : formatDuration(calibration.exposureSeconds)],
  ];
  return rows.filter(([, value]) => value !== "").map(([term, value]) => ({ term, value }));
}

const suitTones = {
  "film-unknown": "note",
  "film-fits": "ok",
  "film-dense": "note",
  "film-short": "caution",
} as const;

function suitView(suit: FilmSuit): CorrectionView["suit"] {
  return { tone: suitTones[suit.code], text: filmSuitWords(suit) };
}

/** What the points' distance from the curve can do to the print, L*: where the measured scale is steepest. */
function lightnessOff({ pointsWithinLevels, measured }: Correction): number {
  const steepest = Math.max(
    ...measured.lightness.map((value, level) => Math.abs((measured.lightness[level + 1] ?? value) - value)),
  );
  return pointsWithinLevels * steepest;
}

/** Null where no second sheet or strip was read, which could show the toned print. */
function tonedView(store: Tools["store"], testId: string, chosen: TonedTarget | null): CorrectionView["toned"] {
  const tests = toneTests(store).map(({ id, title, day }) => ({ value: id, label: `${title}, ${day}` }));
  if (tests.length < 2) return null;
  return {
    isHere: chosen !== null,
    tests,
    tonedTestId: chosen?.tonedTestId ?? tests.find(({ value }) => value !== testId)?.value ?? "",
    plainTestId: chosen?.plainTestId ?? testId,
  };
}

/** @param asked target and points as they were asked for */
export function correctionView(
  store: Tools["store"],
  made: TestCorrection,
  asked: { readonly target: CorrectionTarget; readonly points: PointsWish },
): CorrectionView {
  const { test, correction, calibration, averagedFrom } = made;
  const { target } = asked;
  const { id } = test;
  const written = targetText(target);
  const toned = isToned(target) ? target : null;
  const pointsText = typeof target === "string" || toned !== null ? "" : written;
  const query = target === "lightness" ? "" : `target=${encodeURIComponent(written)}`;
  const file = (ending: string, name: string, useText: string, more = "") => ({
    href:
      `/api/tests/${id}/correction.${ending}` +
      ([query, more].some((part) => part !== "") ? `?${[query, more].filter((part) => part !== "").join("&")}` : ""),
    name,
    use: useText,
  });
  return {
    testId: id,
    invented: calibration.invented,
    pointsText,
    targetText: written,
    toned: tonedView(store, id, toned),
    negativeHref: `/negatives/new?${[`testId=${id}`, query].filter((part) => part !== "").join("&")}`,
    keepHref: `/curves/new?${[`testId=${id}`, query].filter((part) => part !== "").join("&")}`,
    plots: [curvePlot(correction), scalePlot(correction)],
    points: correction.points,
    typing: {
      tool: asked.points.tool,
      wantedWithin: String(asked.points.withinLevels),
      within: formatFixed(correction.pointsWithinLevels, 1),
      withinLightness: formatLightness(lightnessOff(correction)),
      isAsAsked: correction.pointsWithinLevels <= asked.points.withinLevels + 0.05,
    },
    rows: Array.from({ length: 18 }, (_, index) => Math.min(255, index * tableStep)).map((wanted) => ({
      wanted: String(wanted),
      sent: formatFixed(correction.levels[wanted]!, 1),
      lightness: formatLightness(correction.wantedLightness[wanted]!),
    })),
    warnings: correction.warnings,
    conditions: conditionsOf(calibration, averagedFrom),
    files: [
      file("csv", "CSV table", "all 256 levels, for a spreadsheet"),
      file("icc", "ICC DeviceLink, grey", "for programs that apply device links to grey pictures"),
      file("icc", "ICC DeviceLink, RGB", "the same curve for red, green and blue", "space=rgb"),
      file("txt", "CGATS.17 text", "curve and measured tones in the open form of the trade"),
      file("cube", "Cube table", "one-dimensional, for programs that take such tables"),
      file("png", "Table as a picture", "256 x 1 grey pixels, 16 bit"),
      file("json", "JSON", "everything, for your own programs"),
    ],
    film: filmView(store, id),
    suit: suitView(filmSuitOfTest({ store }, made)),
    checkHref: averagedFrom.length > 1 ? `/tests/${id}/sheet-check` : null,
    targets: [
      {
        href: `/tests/${id}/correction`,
        label: "Even steps of lightness (usual)",
        isHere: correction.target === "lightness",
      },
      {
        href: `/tests/${id}/correction?target=density`,
        label: "Even steps of density",
        isHere: correction.target === "density",
      },
    ],
  };
}
