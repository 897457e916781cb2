// The tone curve of a test made with grey levels, and the conditions it is true for.
import { correctionFromTones } from "#shared/correction/correction.ts";
import { tonesFromReading } from "#shared/correction/tones-from-reading.ts";
import { pooledTones } from "#shared/correction/refine-correction.ts";
import type { CorrectionWarning } from "#shared/correction/correction-facts.ts";
import { correctionInWords } from "#shared/words/correction-words.ts";
import { InputError } from "#shared/errors.ts";
import type { Calibration, Correction, CorrectionTarget, PlannedUse, Tone } from "#shared/schema/correction.ts";
import type { SavedTest } from "#shared/schema/test.ts";
import { correctionMark, targetOfMark, type SheetTarget } from "#shared/tablet/wedge-sheet-code.ts";
import { inPlainWords } from "#shared/words/trouble-words.ts";
import { version } from "#src/version.ts";
import type { Tools } from "#src/studio/tools.ts";

export interface TestCorrection {
  readonly test: SavedTest;
  readonly correction: Correction;
  /** The tones that went into it, for tables of other lengths. */
  readonly tones: readonly Tone[];
  readonly calibration: Calibration;
  /** Of a check sheet: names of the prints whose tones were averaged, newest first; the test alone otherwise. */
  readonly averagedFrom: readonly string[];
}

export interface CorrectionWish {
  readonly testId: string;
  readonly target: CorrectionTarget;
  readonly use?: PlannedUse;
}

/**
 * Correction of a saved test.
 * @throws InputError "not-found", or "no-correction" when the test carries no grey levels or its tones give no curve
 */
export function correctionOfTest(
  { store }: Pick<Tools, "store">,
  { testId, target, use = {} }: CorrectionWish,
): TestCorrection {
  const test = store.tests.get(testId);
  const { kind } = test.request.tablet;
  if (kind !== "levels" && kind !== "sheet") {
    throw new InputError(
      "no-correction",
      "This test was made with a step tablet or a timed strip, which measure exposure. A tone curve needs known grey levels printed on your own film: make a test with the wedge sheet or a strip of levels.",
    );
  }
  const { tones, warnings } = tonesOfTest(store, test);
  const isVeilKnown = test.reading.sheet?.zero?.of !== "own-white";
  const correction = inPlainWords(() => correctionFromTones({ tones, target, isVeilKnown }));
  return {
    test,
    tones,
    averagedFrom: averagedFrom(store, test),
    calibration: calibrationOf(store, test),
    correction: correctionInWords(correction, { before: warnings, after: differences(store, test, use) }),
  };
}

/** Names of a sheet's print and of those that it was printed through, newest first. */
function averagedFrom(store: Tools["store"], test: SavedTest): string[] {
  const names: string[] = [];
  for (let each: SavedTest | undefined = test; each !== undefined && names.length <= mostSheetsInLine;) {
    names.push(
      each.request.name === "" ? `sheet of ${(each.request.madeAt ?? each.createdAt).slice(0, 10)}` : each.request.name,
    );
    const mark: string | null = each.reading.sheet?.correctionMark ?? null;
    each = mark === null ? undefined : testByMark(store, mark, each.id);
  }
  return names;
}

/** Longest line of sheets printed each through the correction of the one before. */
const mostSheetsInLine = 8;

/** The test whose correction a check sheet was printed through. */
export interface PrintedThrough {
  readonly test: SavedTest;
  readonly tones: readonly Tone[];
  /** What that correction aimed at. */
  readonly target: SheetTarget;
  /** Levels that were sent for each wanted level. */
  readonly sentLevels: readonly number[];
}

/**
 * Tones of a test by what was sent to the film printer. Those of a sheet printed through a correction are pooled with the
 * tones that the correction came from.
 * @throws InputError "no-correction" when the test that the sheet was printed through is not here
 */
export function tonesOfTest(
  store: Tools["store"],
  test: SavedTest,
  depth = 0,
): { tones: Tone[]; warnings: CorrectionWarning[] } {
  const own = tonesFromReading(test.reading);
  const before = printedThrough(store, test, depth);
  if (before === null) return own;
  return {
    tones: pooledTones({ first: before.tones, sentLevels: before.sentLevels, second: own.tones }),
    warnings: own.warnings,
  };
}

/** What a check sheet was printed through; null for a first sheet or a strip of levels. */
export function printedThrough(store: Tools["store"], test: SavedTest, depth = 0): PrintedThrough | null {
  const mark = test.reading.sheet?.correctionMark ?? null;
  if (mark === null) return null;
  const parent = depth >= mostSheetsInLine ? undefined : testByMark(store, mark, test.id);
  if (parent === undefined) {
    throw new InputError(
      "no-correction",
      `This sheet was printed through the correction of a test (mark ${mark}) that is not kept here, so what was sent to the film printer is not known. Print a first sheet without a correction.`,
    );
  }
  const { tones } = tonesOfTest(store, parent, depth + 1);
  const target = targetOfMark(mark);
  const { levels: sentLevels } = inPlainWords(() => correctionFromTones({ tones, target }));
  return { test: parent, tones, target, sentLevels };
}

/** Newest test with grey levels whose id has this mark. */
function testByMark(store: Tools["store"], mark: string, exceptId: string): SavedTest | undefined {
  for (const tabletKind of ["sheet", "levels"] as const) {
    let after: string | undefined;
    do {
      const page = store.tests.list({ tabletKind, limit: 1000, ...(after === undefined ? {} : { after }) });
      const found = page.tests.find(({ id }) => id !== exceptId && correctionMark(id, targetOfMark(mark)) === mark);
      if (found !== undefined) return store.tests.get(found.id);
      after = page.next ?? undefined;
    } while (after !== undefined);
  }
  return undefined;
}

function calibrationOf(store: Tools["store"], test: SavedTest): Calibration {
  const { lampId, supportId, coatingId, filmId, name, madeAt, exposureSeconds } = test.request;
  const film = filmId ? store.films.find(filmId) : undefined;
  return {
    testId: test.id,
    testName: name,
    madeAt: madeAt ?? test.createdAt,
    lamp: store.lamps.find(lampId)?.name ?? "",
    support: store.supports.find(supportId)?.name ?? "",
    coating: store.coatings.find(coatingId)?.name ?? "",
    film: film?.name ?? "",
    device: film?.device ?? "",
    exposureSeconds: exposureSeconds ?? null,
    invented: test.invented,
    madeBy: version,
  };
}

/** What the next print changes against the calibration. @throws InputError "not-found" for an unknown material */
function differences(store: Tools["store"], { request }: SavedTest, use: PlannedUse): CorrectionWarning[] {
  const compare = (
    what: "lamp" | "support" | "coating" | "film",
    table: { get(id: string): { name: string } },
    planned: string | undefined,
    used: string | null | undefined,
  ): CorrectionWarning[] =>
    planned === undefined || planned === "" || planned === used
      ? []
      : [
          {
            code: `other-${what}`,
            nextName: table.get(planned).name,
            usedName: used ? table.get(used).name : null,
          },
        ];
  const nextDevice = use.filmId ? store.films.get(use.filmId).device : undefined;
  const usedDevice = request.filmId ? store.films.find(request.filmId)?.device : undefined;
  return [
    ...compare("lamp", store.lamps, use.lampId, request.lampId),
    ...compare("support", store.supports, use.supportId, request.supportId),
    ...compare("coating", store.coatings, use.coatingId, request.coatingId),
    ...compare("film", store.films, use.filmId, request.filmId),
    ...(nextDevice !== undefined && usedDevice !== undefined && nextDevice !== usedDevice
      ? [{ code: "other-device", usedName: usedDevice, nextName: nextDevice } as const]
      : []),
  ];
}
