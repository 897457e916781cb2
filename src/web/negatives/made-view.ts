// A negative that was made, as the pages show it: what it is, its curve, and how the prints of it came out.
import { formatSize } from "#shared/format/length.ts";
import { stripLevels } from "#shared/correction/strip/margin-strip.ts";
import { formatDay } from "#shared/format/instant.ts";
import { formatFixed, formatLightness } from "#shared/format/number.ts";
import { InputError } from "#shared/errors.ts";
import type { MadeNegative } from "#shared/schema/negative.ts";
import type { SavedTest } from "#shared/schema/test.ts";
import { scaleOfTarget } from "#shared/words/negatives/made-words.ts";
import type { StoreReader } from "#src/store/store.ts";
import { checkSheet } from "#src/studio/negatives/check-sheet.ts";

/** Tests among which the strips of a negative are looked for. */
const mostTests = 400;
/** Negatives shown in the list. */
const mostMade = 30;

export interface MadeRow {
  readonly href: string;
  readonly title: string;
  readonly about: string;
  readonly againHref: string;
}

/** Newest negatives for the list. */
export function madeRows(store: StoreReader): MadeRow[] {
  return store.madeNegatives.list({ limit: mostMade }).map((made) => ({
    href: `/negatives/made/${made.id}`,
    title: titleOf(made),
    about: [
      formatDay(made.createdAt),
      sizeOf(made),
      store.tests.find(made.request.testId)?.request.name ?? "",
      made.settingsName,
    ]
      .filter((part) => part !== "")
      .join(", "),
    againHref: `/negatives/new?like=${made.id}`,
  }));
}

function titleOf({ pictureName, createdAt }: MadeNegative): string {
  return pictureName === "" ? `Negative of ${formatDay(createdAt)}` : pictureName;
}

function sizeOf({ widthMm, heightMm, sheets }: MadeNegative): string {
  const size = formatSize(widthMm, heightMm);
  return sheets === 1 ? size : `${size} on ${sheets} sheets`;
}

export interface StripRow {
  readonly href: string;
  readonly name: string;
  readonly day: string;
  readonly mean: string;
  readonly worst: string;
  readonly conditions: string;
}

export function madeView(store: StoreReader, made: MadeNegative) {
  const test = store.tests.find(made.request.testId);
  const { request } = made;
  const facts: [string, string][] = [
    ["Made", formatDay(made.createdAt)],
    ["Size", sizeOf(made)],
    ["Dots per inch", String(request.dpi)],
    ["File", `${request.format.toUpperCase()}, ${request.channels === "rgb" ? "RGB" : "grey"}, ${request.bits} bit`],
    ["Aims at", scaleOfTarget(made.target)],
    ["Contrast, sharpening", `${request.contrast} %, ${request.sharpening} %`],
  ];
  return {
    id: made.id,
    title: titleOf(made),
    facts: facts.map(([term, value]) => ({ term, value })),
    curve: test === undefined ? null : { href: `/tests/${test.id}/correction`, name: test.request.name },
    levels: Array.from({ length: 18 }, (_, index) => Math.min(255, index * 15)).map((wanted) => ({
      wanted: String(wanted),
      sent: formatFixed(made.levels[wanted] ?? 0, 1),
    })),
    hasStrip: request.marginStrip,
    readHref: test === undefined ? null : readStripHref(made, test),
    strips: request.marginStrip ? stripRows(store, made.id) : [],
    settingsName: made.settingsName,
    notes: made.notes,
    againHref: `/negatives/new?like=${made.id}`,
  };
}

/** The form of a new test with everything that the negative knows already. */
function readStripHref(made: MadeNegative, { request }: SavedTest): string {
  const seconds = request.exposureSeconds;
  const values: Record<string, string> = {
    negativeId: made.id,
    tabletChoice: "levels",
    levels: stripLevels.join(" "),
    lampId: request.lampId,
    supportId: request.supportId,
    coatingId: request.coatingId,
    filmId: request.filmId ?? "",
    name: `Strip of ${titleOf(made)}`.slice(0, 120),
    ...(seconds === undefined
      ? {}
      : { exposureMinutes: String(Math.floor(seconds / 60)), exposureSecondsPart: String(Math.round(seconds % 60)) }),
  };
  return `/tests/new?${new URLSearchParams(Object.entries(values).filter(([, value]) => value !== "")).toString()}`;
}

/** Prints whose strip was read, newest first. */
function stripRows(store: StoreReader, negativeId: string): StripRow[] {
  return store.tests
    .list({ tabletKind: "levels", limit: mostTests })
    .tests.map(({ id }) => store.tests.get(id))
    .filter(({ request }) => request.negativeId === negativeId)
    .map((test) => {
      const straight = straightness(store, test.id);
      const { request } = test;
      return {
        href: `/tests/${test.id}/correction`,
        name: request.name === "" ? "Strip" : request.name,
        day: formatDay(request.madeAt ?? test.createdAt),
        mean: straight === null ? "" : formatLightness(straight.mean),
        worst: straight === null ? "" : formatLightness(straight.worst),
        conditions: [
          store.coatings.find(request.coatingId)?.name ?? "",
          request.humidityPercent == null ? "" : `${formatFixed(request.humidityPercent, 0)} % humidity`,
        ]
          .filter((part) => part !== "")
          .join(", "),
      };
    });
}

function straightness(store: StoreReader, testId: string): { readonly mean: number; readonly worst: number } | null {
  try {
    return checkSheet({ store }, testId).after;
  } catch (error) {
    if (error instanceof InputError) return null;
    throw error;
  }
}
