// View objects of the way to the next negative, and the curves that its page's script previews with.
import { fileDepths, filmChoices, greyMixes, printSides } from "#shared/correction/negative-form.ts";
import { printColours, type ScreenColour } from "#shared/correction/print-colours.ts";
import { InputError } from "#shared/errors.ts";
import { formatDay } from "#shared/format/instant.ts";
import { correctionQuerySchema } from "#shared/schema/correction.ts";
import { mostSeriesPictures } from "#shared/schema/negative.ts";
import { inkNamed, inkText } from "#shared/tablet/film-inks.ts";
import type { StoreReader } from "#src/store/store.ts";
import { correctionOfTest } from "#src/studio/negatives/correct.ts";
import { errorSummary, type FieldOrder } from "#src/web/parts/form-errors.ts";
import { textOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { materialsText } from "#src/web/parts/materials-text.ts";

/** Tests offered. */
const mostTests = 200;

const defaults: FormValues = {
  target: "lightness",
  greyMix: "luminance",
  widthMm: "180",
  side: "widthMm",
  filmSize: "",
  depth: "grey-8",
  ink: "",
  arrangement: "one-each",
  gapMm: "4",
  dpi: "300",
  contrast: "0",
  sharpening: "0",
  marginMm: "10",
  marginTone: "opaque",
  marginStrip: "yes",
  caption: "yes",
  invert: "yes",
  mirror: "yes",
  format: "pdf",
  overlapMm: "10",
  cropLeft: "",
  cropTop: "",
  cropWidth: "",
  cropHeight: "",
  filmWidthMm: "",
  filmHeightMm: "",
  tile: "",
  registrationMarks: "",
};

/** What the page's script needs of each test that could be chosen. */
export interface NegativePageData {
  readonly curves: Readonly<
    Record<string, { readonly levels: readonly number[]; readonly colours: readonly ScreenColour[] }>
  >;
}

export interface ToneTest {
  readonly id: string;
  readonly title: string;
  readonly materials: string;
  readonly day: string;
  readonly invented: boolean;
}

/** Tests with a tone curve, newest first. */
export function toneTests(store: StoreReader): ToneTest[] {
  return (["sheet", "levels"] as const)
    .flatMap((tabletKind) => store.tests.list({ tabletKind, limit: mostTests }).tests)
    .sort((a, b) => Date.parse(b.madeAt) - Date.parse(a.madeAt))
    .map((test) => {
      const materials = materialsText(store, test);
      return {
        id: test.id,
        title: test.name === "" ? materials : test.name,
        materials: test.name === "" ? "" : materials,
        day: formatDay(test.madeAt),
        invented: test.invented,
      };
    });
}

function ownTargetLabel(text: string): string {
  return text.startsWith("toned:")
    ? "Even steps of lightness, once it is toned or bleached"
    : `A scale of your own (${text})`;
}

/** Targets to choose from; a scale of one's own is made on the curve's page and comes along in the address. */
function targetsToChoose(chosen: string): { value: string; label: string }[] {
  const own = chosen.includes(":") ? [{ value: chosen, label: ownTargetLabel(chosen) }] : [];
  return [
    { value: "lightness", label: "Even steps of lightness (usual)" },
    { value: "density", label: "Even steps of density" },
    ...own,
  ];
}

/** What names a curve in an address: test, target as written there, and the kept curve or none. */
interface CurveAsked {
  readonly testId: string;
  readonly target: string;
  readonly curveId: string;
}

/** Name of a curve among the page's data. */
const curveKey = ({ testId, target, curveId }: CurveAsked): string => `${testId} ${target} ${curveId}`;

/** Curve and colours of a test for a target, or of a kept curve; null when its tones give no curve. */
export function pageCurve(
  store: StoreReader,
  { testId, target: targetText, curveId }: CurveAsked,
): NegativePageData["curves"][string] | null {
  try {
    const target = correctionQuerySchema.shape.target.parse(targetText);
    const { test, correction } = correctionOfTest({ store }, { testId, target });
    const good = test.reading.steps.filter((step) => !step.flags.includes("left-out"));
    const kept = curveId === "" ? undefined : store.keptCurves.find(curveId);
    return {
      levels: (kept?.testId === testId ? kept.levels : correction.levels).map((level) => Math.round(level * 100) / 100),
      colours: printColours(correction.measured.density, good),
    };
  } catch (error) {
    if (error instanceof InputError) return null;
    throw error;
  }
}

/** The versions of a test's curve to choose from: its present one, and those that were kept. */
export function versionsOf(store: StoreReader, testId: string): readonly { value: string; label: string }[] {
  return [
    { value: "", label: "the test's present one" },
    ...store.keptCurves
      .list()
      .filter((kept) => kept.testId === testId)
      .map(({ id, name, createdAt }) => ({ value: id, label: `${name}, kept ${formatDay(createdAt)}` })),
  ];
}

/** The form's fields from top to bottom. */
const fieldOrder: FieldOrder = [
  "photo",
  "testId",
  "target",
  "widthMm",
  "dpi",
  "filmWidthMm",
  "filmHeightMm",
  "overlapMm",
  "tile",
  ["crop", "cropLeft"],
  "marginMm",
  "format",
  "ink",
];

interface NegativePageParts {
  readonly tests: readonly ToneTest[];
  readonly chosen: ToneTest;
  readonly values: FormValues;
  readonly errors: FieldErrors;
}

/** What the printer of the test's film is always sent: its dots per inch and its ink. */
function valuesOfPrinter(store: StoreReader, testId: string): FormValues {
  const { filmId } = store.tests.get(testId).request;
  const printerId = filmId ? store.films.find(filmId)?.printerId : null;
  const printer = printerId ? store.printers.find(printerId) : undefined;
  if (printer === undefined) return {};
  const ink = inkText(printer.ink);
  return {
    ...(printer.dpi == null ? {} : { dpi: String(printer.dpi) }),
    ...(ink === inkText(inkNamed("black")) ? {} : { ink }),
  };
}

export function negativePage(store: StoreReader, { tests, chosen, values, errors }: NegativePageParts) {
  const target = textOf(values, "target") || "lightness";
  const asked = { testId: chosen.id, target, curveId: textOf(values, "curveId") };
  const curve = errors["target"] === undefined ? pageCurve(store, asked) : null;
  const data: NegativePageData = { curves: curve === null ? {} : { [curveKey(asked)]: curve } };
  const view = {
    tests,
    targets: targetsToChoose(target),
    curveHref: `/tests/${chosen.id}/correction${target === "lightness" ? "" : `?target=${encodeURIComponent(target)}`}`,
    values: { ...defaults, ...valuesOfPrinter(store, chosen.id), ...values, testId: chosen.id, target },
    errors,
    summary: errorSummary(errors, fieldOrder),
    presets: store.madeNegatives
      .list({ isNamed: true })
      .map(({ id, settingsName }) => ({ href: `/negatives/new?like=${id}`, name: settingsName })),
    sides: Object.entries(printSides).map(([value, label]) => ({ value, label })),
    keptCurves: versionsOf(store, chosen.id),
    films: filmChoices,
    mostPictures: mostSeriesPictures,
    depths: Object.entries(fileDepths).map(([value, { label }]) => ({ value, label })),
    filmOpen:
      errors["filmWidthMm"] !== undefined ||
      errors["filmHeightMm"] !== undefined ||
      textOf(values, "filmSize") === "own" ||
      textOf(values, "tile") !== "",
    mixes: Object.entries(greyMixes).map(([value, { label }]) => ({ value, label })),
    cropOpen: errors["crop"] !== undefined || textOf(values, "cropWidth") !== "",
  };
  return { view, data };
}
