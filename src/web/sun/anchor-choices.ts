// Prints of known outcome that a time in the sun can be scaled by: tests made in the sun, and kept anchors.
import { formatDuration } from "#shared/format/duration.ts";
import { formatDay } from "#shared/format/instant.ts";
import type { StoreReader } from "#src/store/store.ts";
import { nameOfTest } from "#src/studio/sun/plan-sun-exposure.ts";
import { materialsText } from "#src/web/parts/materials-text.ts";

/** Tests and kept anchors offered for choice. */
const shownAnchors = 12;

export interface AnchorChoice {
  readonly value: string;
  readonly name: string;
  readonly detail: string;
  readonly isChosen: boolean;
  /** Id to delete it by; null for tests, which have their own page. */
  readonly keptId: string | null;
}

/** The anchors that the store has, newest first. */
export function anchorChoices(store: StoreReader, chosen: readonly string[]): AnchorChoice[] {
  const tests = store.sunTestIds(shownAnchors).flatMap((id): AnchorChoice[] => {
    const test = store.tests.find(id);
    if (test === undefined) return [];
    const value = `test:${id}`;
    const advice = test.exposure.seconds === null ? "gave no time" : formatDuration(test.exposure.seconds);
    return [
      {
        value,
        name: nameOfTest(test),
        detail:
          `${materialsText(store, test.request)} · ${formatDay(test.request.sun?.startedAt ?? test.createdAt)} · ` +
          `${advice}${test.invented ? " · invented sample" : ""}`,
        isChosen: chosen.includes(value),
        keptId: null,
      },
    ];
  });
  const kept = store.sunAnchors
    .list()
    .slice(0, shownAnchors)
    .map((anchor): AnchorChoice => {
      const value = `kept:${anchor.id}`;
      const seconds = (Date.parse(anchor.endedAt) - Date.parse(anchor.startedAt)) / 1000;
      return {
        value,
        name: anchor.name,
        detail: `kept from the dose clock · ${formatDay(anchor.startedAt)} · ${formatDuration(seconds)}`,
        isChosen: chosen.includes(value),
        keptId: anchor.id,
      };
    });
  return [...tests, ...kept];
}
