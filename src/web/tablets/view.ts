import { formatDensity, formatFixed } from "#shared/format/number.ts";
import { formatDay } from "#shared/format/instant.ts";
import { tabletForRequest } from "#shared/tablet/own-tablet.ts";
import type { OwnTablet } from "#shared/schema/tablets.ts";
import type { StoreReader } from "#src/store/store.ts";
import { ownTabletValue } from "#src/web/tests/tablet-form.ts";
import { errorSummary, type ErrorSummary, type FieldOrder } from "#src/web/parts/form-errors.ts";
import type { FieldErrors, FormValues } from "#src/web/parts/form-values.ts";
import type { Choice } from "#src/web/parts/field-view.ts";
import { otherStrips } from "#src/web/tests/other-strips.ts";
import { calibrationFields, savedTestFields } from "./form.ts";

const savedTestLabels = ["Its first print", "Its second print, a stop longer", "The bare strip beside it"];

interface TabletView {
  readonly id: string;
  readonly name: string;
  readonly steps: number;
  readonly state: string;
  readonly densities: readonly string[];
  readonly testHref: string;
}

export interface TabletsView {
  readonly tablets: readonly TabletView[];
  readonly values: FormValues;
  readonly errors: FieldErrors;
  readonly summary: ErrorSummary | null;
  readonly calibrationFields: typeof calibrationFields;
  /** Saved tests that may stand in for typed prints, a choice each. */
  readonly savedTestFields: readonly { readonly name: string; readonly label: string }[];
  readonly savedTests: readonly Choice[];
  /** The tablet whose calibration was sent and has to be sent again. */
  readonly calibrating: string | null;
  readonly followed: { readonly id: string; readonly tone: "ok" | "note"; readonly words: string } | null;
}

/** A tablet that was just calibrated, and how many tests were judged anew with it. */
interface Followed {
  readonly id: string;
  readonly tests: number;
}

/** What an address says of a calibration that was just made. */
export function followedFrom({ calibrated, tests }: Readonly<Record<string, unknown>>): Followed | null {
  return typeof calibrated === "string" && typeof tests === "string" && /^\d{1,6}$/.test(tests)
    ? { id: calibrated, tests: Number(tests) }
    : null;
}

/** What was typed on the page and what was wrong with it. */
export interface SentTablet {
  readonly values?: FormValues;
  readonly errors?: FieldErrors;
  /** Id of the tablet whose calibration it was; absent for a new tablet. */
  readonly calibrating?: string;
  readonly followed?: Followed | null;
}

export function tabletsView(
  store: StoreReader,
  { values = {}, errors = {}, calibrating, followed = null }: SentTablet,
): TabletsView {
  const ids: FieldOrder =
    calibrating === undefined
      ? ["name", "densities"].map((name) => [name, `tablet-${name}`] as const)
      : [...savedTestFields.map((name) => ({ name })), ...calibrationFields].map(
          ({ name }) => [name, `${name}-${calibrating}`] as const,
        );
  return {
    tablets: store.tablets.list().map(tabletView),
    values,
    errors,
    summary: errorSummary(errors, ids),
    calibrationFields,
    savedTestFields: savedTestFields.map((name, i) => ({ name, label: savedTestLabels[i] ?? "" })),
    savedTests: otherStrips(store),
    calibrating: calibrating ?? null,
    followed: followed && { id: followed.id, ...followedWords(followed) },
  };
}

function followedWords({ tests }: Followed): { tone: "ok" | "note"; words: string } {
  if (tests > 0)
    return {
      tone: "ok",
      words: `${tests === 1 ? "1 saved test was" : `${tests} saved tests were`} judged anew with these densities.`,
    };
  const words =
    "No saved test was judged anew: none was made with these steps, or another tablet of yours has the same ones.";
  return { tone: "note", words };
}

function tabletView(tablet: OwnTablet): TabletView {
  const inLight = tabletForRequest(tablet);
  const query = new URLSearchParams({ tabletChoice: ownTabletValue(tablet.id) });
  return {
    id: tablet.id,
    name: tablet.name,
    steps: tablet.densities.length,
    state: stateOf(tablet),
    densities: inLight.densities.map(formatDensity),
    testHref: `/tests/new?${query.toString()}`,
  };
}

function stateOf({ calibratedAt, scale, scaleSigmaShare, baseShiftDensity, baseSigmaDensity, isMeasured }: OwnTablet) {
  if (calibratedAt == null)
    return isMeasured
      ? "Each step measured; what it is in your own light is not known yet."
      : "By its label; what it is in your own light is not known yet.";
  const scaleText = `scale ${formatFixed(scale, 3)} ± ${formatFixed(scaleSigmaShare ?? 0, 3)}`;
  const baseText =
    baseSigmaDensity == null
      ? "clear film by its label"
      : `clear film ${baseShiftDensity < 0 ? "less by" : "more by"} ${formatFixed(Math.abs(baseShiftDensity), 3)} ± ` +
        `${formatFixed(baseSigmaDensity, 3)}`;
  const found = `${scaleText}, ${baseText} (the truth lies within ± in two of three cases)`;
  return `Calibrated in your own light on ${formatDay(calibratedAt)}: ${found}.`;
}
