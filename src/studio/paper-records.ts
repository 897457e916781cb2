// Records for the wall and the binder: the lid card of a box and the report of a test.
import { formatDuration } from "#shared/format/duration.ts";
import { formatDay } from "#shared/format/instant.ts";
import {
  bedEvennessWords,
  boxDescription,
  lidCautions,
  testAgainWords,
} from "#shared/words/materials/lid-card-words.ts";
import { codeModules } from "#src/imaging/matrix-code.ts";
import { lidCardPdf, mostCardRows } from "#src/output/lid-card.ts";
import { testReportPdf, type TestReport } from "#src/output/test-report.ts";
import { baseTimeOf, boxRecord } from "./lamps/box-record.ts";
import type { Tools } from "./tools.ts";

/**
 * The lid card of a lamp as a PDF of one page.
 * @param address of the box's own page, for the code on the card
 * @throws InputError "not-found"
 */
export async function makeLidCard(
  { store }: Pick<Tools, "store">,
  { lampId, address, now }: { lampId: string; address: string; now: Date },
): Promise<Uint8Array> {
  const { lamp, combinations } = boxRecord({ store }, lampId);
  const name = (material: { name: string } | undefined): string => material?.name ?? "forgotten";
  const rows = combinations.slice(0, mostCardRows).map((each) => {
    const base = baseTimeOf({ store }, each);
    const materials = [
      name(store.supports.find(each.supportId)),
      name(store.coatings.find(each.coatingId)),
      each.filmId === null ? "no film" : name(store.films.find(each.filmId)),
    ].join(", ");
    const days = { testedOn: each.newest.madeAt.slice(0, 10), testAgain: testAgainWords(each.retest) };
    if (base.source === "contradictory") return { materials, time: "tests disagree: retest", range: "", ...days };
    const { seconds, lowerSeconds, upperSeconds, source } = base;
    const isTold = lowerSeconds !== null && upperSeconds !== null;
    return {
      materials: source === "newest" ? `${materials} (newest test alone)` : materials,
      time: formatDuration(seconds),
      range: isTold ? `${formatDuration(lowerSeconds)} to ${formatDuration(upperSeconds)}` : "",
      ...days,
    };
  });
  return lidCardPdf({
    name: lamp.name,
    description: boxDescription(lamp),
    printedOn: formatDay(now.toISOString()),
    rows,
    leftOut: combinations.length - rows.length,
    evenness: bedEvennessWords(lamp),
    cautions: lidCautions,
    address,
    code: await codeModules(address),
  });
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
