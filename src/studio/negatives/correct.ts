// The tone curve of a test made with grey levels, and the conditions it is true for.
import { correctionFromTones, usualPoints } from "#shared/correction/correction.ts";
import { tonesFromReading } from "#shared/correction/tones-from-reading.ts";
import { isToned } from "#shared/correction/target-text.ts";
import { tonedTarget } from "#shared/correction/toned-target.ts";
import { driftedTones, type StripTones } from "#shared/correction/strip/drifted-tones.ts";
import { stripDoubts } from "#shared/correction/strip/strip-doubts.ts";
import { pooledTones } from "#shared/correction/refine-correction.ts";
import type { MadeNegative } from "#shared/schema/negative.ts";
import type { CorrectionWarning } from "#shared/correction/correction-facts.ts";
import { correctionInWords } from "#shared/words/negatives/correction-words.ts";
import type {
  Calibration,
  Correction,
  CorrectionTarget,
  PlannedUse,
  PointsWish,
  Tone,
  ToneTarget,
} from "#shared/schema/correction.ts";
import type { KeptCurve } from "#shared/schema/kept-curve.ts";
import type { Film } from "#shared/schema/materials.ts";
import type { SavedTest } from "#shared/schema/test.ts";
import {
  isKeptCurveMark,
  keptCurveMark,
  lettersOfMark,
  targetOfMark,
  type SheetTarget,
} from "#shared/tablet/wedge-sheet-code.ts";
import { inPlainWords } from "#shared/words/trouble-words.ts";
import { refusal } from "#shared/words/refusal-words.ts";
import { version } from "#src/version.ts";
import type { Tools } from "#src/studio/tools.ts";
import { keptCorrection } from "./kept-corrections.ts";

export interface TestCorrection {
  readonly test: SavedTest;
  readonly correction: Correction;
  /** The same curve at as many levels as wanted: grey levels 0-255 for evenly spaced wanted levels. */
  readonly table: (count: number) => Float64Array;
  readonly calibration: Calibration;
  /** Of a check sheet: names of the prints whose tones were averaged, newest first; the test alone otherwise. */
  readonly averagedFrom: readonly string[];
}

export interface CorrectionWish {
  readonly testId: string;
  readonly target: CorrectionTarget;
  readonly use?: PlannedUse;
  /** What the points to type are for; the usual ones when absent. */
  readonly points?: PointsWish;
}

/**
 * Correction of a saved test.
 * @throws InputError "not-found", or "no-correction" when the test carries no grey levels or its tones give no curve
 */
export function correctionOfTest(
  { store }: Pick<Tools, "store">,
  { testId, target, use = {}, points = usualPoints }: CorrectionWish,
): TestCorrection {
  const test = store.tests.get(testId);
  const { kind } = test.request.tablet;
  if (kind !== "levels" && kind !== "sheet") {
    throw refusal("no-correction", { code: "no-grey-levels" });
  }
  const line = lineOfSheets(store, test);
  const { tones, warnings } = tonesOfLine(store, line);
  const isVeilKnown = test.reading.sheet?.zero?.of !== "own-white";
  const { found, table } = inPlainWords(() =>
    keptCorrection({ tones, target: toneTargetOf(store, target), isVeilKnown, points }),
  );
  return {
    test,
    table,
    averagedFrom: line.map(sheetName),
    calibration: calibrationOf(store, test),
    correction: correctionInWords(found, { before: warnings, after: differences(store, test, use) }),
  };
}

/**
 * A target as the core takes it: of a print to be toned, what it must look like before.
 * @throws InputError "bad-request" for tests that are not here or are no two readings of one sheet, "no-correction"
 */
function toneTargetOf(store: Tools["store"], target: CorrectionTarget): ToneTarget {
  if (!isToned(target)) return target;
  const [toned, plain] = [toneTestOf(store, target.tonedTestId), toneTestOf(store, target.plainTestId)];
  if (markOf(toned) !== markOf(plain) || (toned.request.negativeId ?? null) !== (plain.request.negativeId ?? null))
    throw refusal("bad-request", { code: "toned-of-another-sheet" }, { field: "target" });
  return inPlainWords(() => tonedTarget(tonesFromReading(plain.reading).tones, tonesFromReading(toned.reading).tones));
}

function toneTestOf(store: Tools["store"], id: string): SavedTest {
  const test = store.tests.find(id);
  if (test === undefined || !["levels", "sheet"].includes(test.request.tablet.kind))
    throw refusal("bad-request", { code: "no-such-tone-test", id }, { field: "target" });
  return test;
}

function sheetName({ request, createdAt }: SavedTest): string {
  return request.name === "" ? `sheet of ${(request.madeAt ?? createdAt).slice(0, 10)}` : request.name;
}

/** Longest line of sheets and strips printed each through the correction of the one before. */
const mostPrintsInLine = 40;

/**
 * A test and those that its sheet or strip was printed through, newest first: the last was printed through nothing.
 * @throws InputError "no-correction" when one of them is not here
 */
export function lineOfSheets(store: Tools["store"], test: SavedTest): SavedTest[] {
  const line = [test];
  for (let before = testBefore(store, test); before !== null; before = testBefore(store, before)) {
    if (line.length > mostPrintsInLine)
      throw refusal("no-correction", { code: "sheet-through-unknown-test", mark: markOf(before) ?? "" });
    line.push(before);
  }
  return line;
}

/** What a test was printed through; null for a first sheet. @throws InputError "no-correction" when it is not here */
function testBefore(store: Tools["store"], test: SavedTest): SavedTest | null {
  const mark = markOf(test);
  const isStrip = Boolean(test.request.negativeId);
  if (mark === null && !isStrip) return null;
  const kept = keptCurveOf(store, test);
  const namedId = isStrip ? negativeOf(store, test)?.request.testId : kept?.testId;
  const before = isStrip || kept !== null ? store.tests.find(namedId ?? "") : testByMark(store, mark ?? "", test.id);
  if (before === undefined) throw refusal("no-correction", { code: "sheet-through-unknown-test", mark: mark ?? "" });
  return before;
}

/** The negative of which a test is the strip in the margin; null for other tests, or when it is off the list. */
function negativeOf(store: Tools["store"], { request }: SavedTest): MadeNegative | null {
  return request.negativeId ? (store.madeNegatives.find(request.negativeId) ?? null) : null;
}

/**
 * The kept curve that a sheet was printed through; null for one printed through a test's own.
 * @throws InputError "no-correction" when it is no longer here
 */
function keptCurveOf(store: Tools["store"], test: SavedTest): KeptCurve | null {
  const mark = markOf(test);
  if (mark === null || !isKeptCurveMark(mark)) return null;
  const kept = store.keptCurves.list().find(({ id }) => keptCurveMark(id) === mark);
  if (kept === undefined) throw refusal("no-correction", { code: "sheet-through-forgotten-curve" });
  return kept;
}

function markOf({ reading }: SavedTest): string | null {
  return reading.sheet?.correctionMark ?? null;
}

/** What a check sheet or a strip was printed through. */
interface PrintedThrough {
  readonly test: SavedTest;
  /** What that correction aimed at; null for a scale of one's own, by which no print is judged. */
  readonly target: SheetTarget | null;
  /** Levels that were sent for each wanted level. */
  readonly sentLevels: readonly number[];
}

export interface LineTones {
  /**
   * Tones of the newest test by what was sent to the film printer: sheets pooled with those before them, and moved as
   * the strips since show.
   */
  readonly tones: readonly Tone[];
  /** About the newest test's own tones. */
  readonly warnings: readonly CorrectionWarning[];
  /** Null for a first sheet or a strip of levels. */
  readonly through: PrintedThrough | null;
}

/** Tones of a line of prints, newest first, each printed through the curve of those after it. */
export function tonesOfLine(store: Tools["store"], line: readonly SavedTest[]): LineTones {
  let pooled: LineTones | null = null;
  let sheet: readonly Tone[] = [];
  let strips: readonly StripTones[] = [];
  for (const [index, test] of [...line.entries()].reverse()) {
    const own = tonesFromReading(test.reading);
    const before: SavedTest | undefined = line[index + 1];
    const negative = negativeOf(store, test);
    if (pooled === null || before === undefined) {
      pooled = { ...own, through: null };
      sheet = pooled.tones;
    } else if (negative === null) {
      const first: readonly Tone[] = pooled.tones;
      const { target, sentLevels } = sentToSheet(store, test, first);
      sheet = pooledTones({ first, sentLevels, second: own.tones });
      strips = [];
      const warnings = [...own.warnings, ...otherMaterials(before, test)];
      pooled = { tones: sheet, warnings, through: { test: before, target, sentLevels } };
    } else {
      const { target, levels } = negative;
      strips = [...strips, { sentLevels: levels, tones: own.tones }];
      pooled = {
        tones: driftedTones(sheet, strips),
        warnings: [...own.warnings, ...stripDoubts(sheet, strips)],
        through: { test: before, target: typeof target === "string" ? target : null, sentLevels: levels },
      };
    }
  }
  if (pooled === null) throw new RangeError("A line of sheets holds one test at least.");
  return pooled;
}

/** Whether a check sheet was saved with other materials than the test that it was printed through: a slip, mostly. */
function otherMaterials(before: SavedTest, { request }: SavedTest): CorrectionWarning[] {
  const what = (["lamp", "support", "coating", "film"] as const).filter(
    (each) => (before.request[`${each}Id`] ?? null) !== (request[`${each}Id`] ?? null),
  );
  return what.length === 0 ? [] : [{ code: "check-of-other-materials", what, testName: sheetName(before) }];
}

/** What the film printer was sent for a check sheet, whose correction came from `first`. */
function sentToSheet(
  store: Tools["store"],
  test: SavedTest,
  first: readonly Tone[],
): Pick<PrintedThrough, "target" | "sentLevels"> {
  const kept = keptCurveOf(store, test);
  if (kept !== null) return { target: typeof kept.target === "string" ? kept.target : null, sentLevels: kept.levels };
  const target = targetOfMark(markOf(test) ?? "");
  return { target, sentLevels: inPlainWords(() => correctionFromTones({ tones: first, target })).levels };
}

/** Newest test with grey levels whose id has this mark. */
function testByMark(store: Tools["store"], mark: string, exceptId: string): SavedTest | undefined {
  return store.tests.findByLetters(lettersOfMark(mark), { kinds: ["sheet", "levels"], exceptId });
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
    device: printerOf(store, film),
    exposureSeconds: exposureSeconds ?? null,
    invented: test.invented,
    madeBy: version,
  };
}

/** Name of the printer that prints on a film; empty when nobody said. */
function printerOf(store: Tools["store"], film: Film | undefined): string {
  return (film?.printerId ? store.printers.find(film.printerId)?.name : undefined) ?? film?.device ?? "";
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
  const nextDevice = use.filmId ? printerOf(store, store.films.get(use.filmId)) : undefined;
  const usedDevice = request.filmId ? printerOf(store, store.films.find(request.filmId)) : undefined;
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
