// View objects of the ink sheet's page.
import { formatDensity, formatShare } from "#shared/format/number.ts";
import type { InkFinding, InkOutcome } from "#shared/schema/ink.ts";
import { filmInks, inkSheetOptions, inkText, sentInk } from "#shared/tablet/film-inks.ts";
import type { InkReading } from "#src/studio/negatives/read-ink-sheet.ts";
import type { Tools } from "#src/studio/tools.ts";
import { testChoices } from "#src/web/parts/field-view.ts";
import { errorSummary, type FieldOrder } from "#src/web/parts/form-errors.ts";
import type { FieldErrors, FormValues } from "#src/web/parts/form-values.ts";
import { hasCurve, isForTime, newestCards, offeredTests } from "#src/web/tests/card.ts";

const previewDpi = 100;
const fieldOrder: FieldOrder = ["photo", "curveTestId", ["exposureSeconds", "ink-time-minutes"]];

export interface InkAnswerView {
  readonly isGood: boolean;
  readonly amount: string | null;
  readonly ink: string;
  readonly range: string;
  readonly advice: string;
  readonly warnings: InkReading["warnings"];
  readonly rows: readonly {
    readonly ink: string;
    readonly white: string;
    readonly range: string;
    readonly print: string;
    readonly film: string;
    readonly sheetHref: string;
    readonly sent: string;
  }[];
  readonly hasFilm: boolean;
}

const boundWords = { exact: "", "at-most": "at most ", "at-least": "at least " } as const;

/** The densest amount whose density is known, or the bound at all of the ink. */
function filmWords({ film }: InkOutcome): string {
  const full = film.at(-1);
  if (full === undefined) return "";
  const sigma = full.sigmaDensity === null ? "" : ` ± ${formatDensity(full.sigmaDensity)}`;
  return `${boundWords[full.bound]}${formatDensity(full.filmDensity)}${sigma}`;
}

/** What to send of an ink: as much as surely keeps the paper white, all of it where none does. */
function sentText({ ink, whiteFrom }: InkOutcome): string {
  const own = filmInks.find(({ name }) => name === ink) ?? filmInks[0];
  return inkText(sentInk(own.ink, whiteFrom?.upper ?? 1));
}

function rangeWords(finding: InkFinding): string {
  if (finding.code !== "ink-enough") return "";
  return `${formatShare(finding.lower)} to ${formatShare(finding.upper)}`;
}

export function inkAnswerView(reading: InkReading): InkAnswerView {
  const { finding, inks } = reading;
  const isGood = finding.code === "ink-enough";
  return {
    isGood,
    amount: isGood ? formatShare(finding.likely) : null,
    ink: finding.code === "paper-unseen" ? "" : finding.ink,
    range: rangeWords(finding),
    advice: reading.advice,
    warnings: reading.warnings,
    hasFilm: inks.some(({ film }) => film.length > 0),
    rows: inks.map((each) => {
      const { whiteFrom } = each;
      const surely = whiteFrom?.upper == null ? "past all of it" : formatShare(whiteFrom.upper);
      return {
        ink: each.ink,
        white: whiteFrom === null ? "never" : formatShare(whiteFrom.likely),
        range: whiteFrom === null ? "" : `${formatShare(whiteFrom.lower)} to ${surely}`,
        print: formatDensity(each.fullDensity),
        film: filmWords(each),
        sent: sentText(each),
        sheetHref: `/sheets?ink=${sentText(each)}`,
      };
    }),
  };
}

export function inkPageView(
  store: Tools["store"],
  shown: {
    readonly values: FormValues;
    readonly inks: readonly string[];
    readonly errors: FieldErrors;
    readonly answer: InkAnswerView | null;
  },
) {
  const { values, errors, answer } = shown;
  const chosen = filmInks.filter(({ name }) => shown.inks.includes(name)).map(({ name }) => name);
  const inks = chosen.length === 0 ? (["black"] as const) : chosen;
  const paper = values["paper"] === "letter" ? "letter" : "a4";
  const query = (more: Readonly<Record<string, string>>): string =>
    new URLSearchParams({ inks: inks.join(","), paper, ...more }).toString();
  const curves = newestCards(store, { limit: offeredTests }, (test) => hasCurve(test) && isForTime(test));
  return {
    values,
    errors,
    summary: errorSummary(errors, fieldOrder),
    answer,
    inks: filmInks.map(({ name, ink }) => ({
      name,
      colour: inkText(ink),
      isChosen: inks.some((each) => each === name),
    })),
    pdfHref: `/api/sheets/ink.pdf?${query({ download: "1" })}`,
    pngHref: `/api/sheets/ink.png?${query({ download: "1" })}`,
    previewHref: `/api/sheets/ink.png?${query({ dpi: String(previewDpi) })}`,
    levels: inkSheetOptions({ inks }).levels / inks.length,
    isShown: shown.inks.length > 0 || answer === null,
    curves: testChoices(curves),
  };
}
