// Records for the wall and the binder: the lid card of a box and the report of a test.
import { isDaylight } from "#shared/lamp/daylight.ts";
import { formatDuration } from "#shared/format/duration.ts";
import { formatDay } from "#shared/format/instant.ts";
import type { CardPaper } from "#shared/schema/sheet.ts";
import { warmUpWords } from "#shared/words/materials/lamp-words.ts";
import {
  addedTimeWords,
  bedEvennessWords,
  boxDescription,
  hourDecidesWords,
  lidCautions,
  originWords,
  ownDepthWords,
  testAgainWords,
} from "#shared/words/materials/lid-card-words.ts";
import { mean } from "simple-statistics";
import { codeModules } from "#src/imaging/matrix-code.ts";
import { firstTestSheetPdf, type FirstTestSheet } from "#src/output/first-test-sheet.ts";
import type { SavedEvenness } from "#shared/schema/evenness.ts";
import { lidCardPdf, type BedPlaces } from "#src/output/lid-card.ts";
import { testReportPdf, type TestReport } from "#src/output/test-report.ts";
import { baseTimeOf, boxRecord } from "./lamps/box-record.ts";
import type { Tools } from "./tools.ts";

/** Places of the bed on the card: enough to see where to lay a small work, few enough to read. */
const bedColumns = 4;
const bedRows = 3;

/** The kept map of a bed in few places, each the mean of what it covers. */
function bedPlaces(map: Pick<SavedEvenness, "stops" | "columns" | "rows">): BedPlaces {
  const places = Array.from({ length: bedColumns * bedRows }, (_, index) => {
    const [column, row] = [index % bedColumns, Math.floor(index / bedColumns)];
    const inside = map.stops.filter((_stops, cell) => {
      const [x, y] = [(cell % map.columns) + 0.5, Math.floor(cell / map.columns) + 0.5];
      return Math.floor((x / map.columns) * bedColumns) === column && Math.floor((y / map.rows) * bedRows) === row;
    });
    const stops = inside.length === 0 ? 0 : mean(inside);
    return { stops, words: addedTimeWords(stops) };
  });
  return { columns: bedColumns, places };
}

/**
 * The lid card of a lamp as a PDF.
 * @param address of the box's own page, for the code on the card
 * @throws InputError "not-found"
 */
export async function makeLidCard(
  { store }: Pick<Tools, "store">,
  { lampId, address, paper, now }: { lampId: string; address: string; paper: CardPaper; now: Date },
): Promise<Uint8Array> {
  const { lamp, combinations } = boxRecord({ store }, lampId);
  const name = (material: { name: string } | undefined): string => material?.name ?? "forgotten";
  const rows = combinations.map((each) => {
    const base = baseTimeOf({ store }, each);
    const isMoved = each.drift?.isRetestAdvised === true;
    const about = {
      support: name(store.supports.find(each.supportId)),
      materials: [
        name(store.coatings.find(each.coatingId)),
        each.filmId === null ? "no film" : name(store.films.find(each.filmId)),
      ].join(", "),
      testedOn: formatDay(each.newest.madeAt),
      testAgain: testAgainWords(each.retest, isMoved),
      isUrgent: each.retest.isOverdue || isMoved,
    };
    if (isDaylight(lamp.kind)) return { ...about, time: hourDecidesWords, hasTime: false, range: "" };
    if (base.source === "contradictory") return { ...about, time: "tests disagree: retest", hasTime: false, range: "" };
    const { seconds, lowerSeconds, upperSeconds, source, share } = base;
    const materials = [about.materials, ...ownDepthWords(share)].join(", ");
    const isTold = lowerSeconds !== null && upperSeconds !== null;
    return {
      ...about,
      materials: `${materials}${originWords(source)}`,
      time: formatDuration(seconds),
      hasTime: true,
      range: isTold ? `${formatDuration(lowerSeconds)} to ${formatDuration(upperSeconds)}` : "",
    };
  });
  const mapId = lamp.evenness?.mapId ?? null;
  const map = mapId === null ? undefined : store.evennessMaps.find(mapId);
  return lidCardPdf({
    paper,
    name: lamp.name,
    description: boxDescription(lamp),
    printedOn: formatDay(now.toISOString()),
    rows,
    evenness: bedEvennessWords(lamp, map),
    bed: map === undefined ? null : bedPlaces(map),
    warmUp: warmUpWords[lamp.kind] ?? "",
    cautions: lidCautions,
    address,
    code: await codeModules(address),
  });
}

/** The sheet of a first test, with the list to tick off at the box, as a PDF of one page. */
export function makeFirstTestSheet(sheet: FirstTestSheet): Promise<Uint8Array> {
  return firstTestSheetPdf(sheet);
}

/** Longest side of the picture in a report, pixels. */
const reportPicturePx = 1200;

/** What the report says in words; picture and curve are added here. */
export type ReportWords = Omit<TestReport, "picture" | "pictureWidth" | "pictureHeight">;

/**
 * The report of a test as a PDF.
 * @throws InputError "not-found"
 */
export async function makeTestReport(
  { store, imaging }: Tools,
  testId: string,
  words: ReportWords,
): Promise<Uint8Array> {
  const test = store.tests.get(testId);
  const picture = await imaging.run("preview", {
    picture: await store.pictures.read(test.pictureId),
    maxSidePx: reportPicturePx,
  });
  return testReportPdf({
    ...words,
    picture: picture.jpeg,
    pictureWidth: picture.width,
    pictureHeight: picture.height,
  });
}
