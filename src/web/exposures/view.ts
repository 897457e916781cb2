// The lookup page's view object: how long for this combination, and where the time comes from.
import { formatDuration, spokenDuration } from "#shared/format/duration.ts";
import { formatDensity, formatShare } from "#shared/format/number.ts";
import type { ExposureAnswer, ExposureSource } from "#shared/schema/exposures.ts";
import type { Store } from "#src/store/store.ts";
import { testCard, type TestCard } from "#src/web/tests/routes.ts";
import { materialsText, type TimeWords } from "#src/web/tests/view.ts";

interface SourceWords {
  readonly tone: "ok" | "note" | "caution" | "stop";
  readonly word: string;
  readonly text: string;
}

const sourceWords: Readonly<Record<ExposureSource, SourceWords>> = {
  tested: { tone: "ok", word: "Tested", text: "One test of just this combination." },
  pooled: {
    tone: "ok",
    word: "Tested more than once",
    text: "Several tests of just this combination, taken together.",
  },
  transferred: {
    tone: "note",
    word: "Carried over",
    text: "Tests of this combination, carried to another distance, film or lamp age.",
  },
  predicted: {
    tone: "caution",
    word: "Predicted, not tested",
    text: "Nobody tested this combination here; the time is drawn from others. Make a test before precious paper.",
  },
  unknown: { tone: "stop", word: "Not known", text: "There is too little to go by." },
};

export interface ExposureResultView {
  readonly materials: string;
  readonly time: TimeWords | null;
  readonly range: { readonly lower: TimeWords; readonly upper: TimeWords } | null;
  readonly conditions: string;
  readonly source: SourceWords;
  readonly provenance: readonly string[];
  readonly warnings: readonly string[];
  readonly tests: readonly TestCard[];
}

function timeWords(seconds: number): TimeWords {
  return { shown: formatDuration(seconds), spoken: spokenDuration(seconds) };
}

/** Summaries of saved tests, those that are gone left out. */
export function cardsOf(store: Store, testIds: readonly string[]): TestCard[] {
  return testIds.flatMap((id) => {
    const test = store.tests.find(id);
    if (test === undefined) return [];
    const { request, exposure } = test;
    return [
      testCard(store, {
        ...test,
        madeAt: request.madeAt ?? test.createdAt,
        name: request.name,
        lampId: request.lampId,
        supportId: request.supportId,
        coatingId: request.coatingId,
        filmId: request.filmId ?? null,
        tabletKind: request.tablet.kind,
        channel: request.channel,
        exposureSeconds: request.exposureSeconds ?? null,
        exposure,
        dMax: test.curve?.dMax ?? null,
        logExposureRange: test.curve?.logExposureRange ?? null,
      }),
    ];
  });
}

export function exposureResultView(store: Store, answer: ExposureAnswer): ExposureResultView {
  const film = answer.filmId === null ? undefined : store.films.find(answer.filmId);
  const distance = answer.distanceMm === null ? "" : ` At ${Math.round(answer.distanceMm)} mm from the light.`;
  return {
    materials: materialsText(store, answer),
    time: answer.seconds === null ? null : timeWords(answer.seconds),
    range:
      answer.lowerSeconds === null || answer.upperSeconds === null
        ? null
        : { lower: timeWords(answer.lowerSeconds), upper: timeWords(answer.upperSeconds) },
    conditions: `For ${formatShare(answer.targetShare)} of the deepest blue, ${film === undefined ? "with no film over the coating" : `through ${film.name}`} (density ${formatDensity(answer.filmDensity)}).${distance}`,
    source: sourceWords[answer.source],
    provenance: answer.provenance,
    warnings: answer.warnings.map(({ message }) => message),
    tests: cardsOf(store, answer.testIds),
  };
}
