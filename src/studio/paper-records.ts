// Records for the wall and the binder: the lid card of a box and the report of a test.
import { formatDuration } from "#shared/format/duration.ts";
import { formatDay } from "#shared/format/instant.ts";
import { formatFixed, formatShare } from "#shared/format/number.ts";
import { codeModules } from "#src/imaging/matrix-code.ts";
import { lidCardPdf, mostCardRows } from "#src/output/lid-card.ts";
import { testReportPdf, type TestReport } from "#src/output/test-report.ts";
import type { RetestDue } from "#shared/lookup/drift.ts";
import { baseTimeOf, boxRecord } from "./lamps/box-record.ts";
import type { Tools } from "./tools.ts";

/** Cautions of any UV box, short enough for its lid. common practice, no source */
const lidCautions: readonly string[] = [
  "Ultraviolet light harms eyes and skin, also when it looks dim: never look at the tubes or diodes.",
  "Keep the lid shut while the lamp is on; do not defeat the interlock.",
  "Gloves for wet coatings and baths; wipe spills from the glass.",
  "Follow the supplier's safety data sheets, local rules and the studio's responsible person.",
];

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
  const distance = lamp.distanceMm ? ` Times hold at ${Math.round(lamp.distanceMm)} mm from the light.` : "";
  return lidCardPdf({
    name: lamp.name,
    description: `${lamp.notes.split("\n")[0] ?? ""}${distance}`.trim(),
    printedOn: formatDay(now.toISOString()),
    rows,
    leftOut: combinations.length - rows.length,
    evenness: lamp.evenness
      ? `Evenness of the bed (${formatDay(lamp.evenness.madeAt)}): brightest to dimmest ${formatFixed(lamp.evenness.rangeStops, 2)} stop; ${formatShare(lamp.evenness.evenShare)} of it within a tenth of a stop.`
      : "",
    cautions: lidCautions,
    address,
    code: await codeModules(address),
  });
}

/** When to test again; one that is past says so, since a card hangs longer than a page is open. */
function testAgainWords({ on, atLampHours, isOverdue }: RetestDue): string {
  if (isOverdue) return `EXPIRED ${on}`;
  return atLampHours === null ? on : `${on}, or ${Math.round(atLampHours)} h`;
}

/** Longest side of the picture in a report, pixels. */
const reportPicturePx = 1200;

/** What the report says in words; picture and curve are added here. */
export type ReportWords = Omit<TestReport, "curve" | "picture" | "pictureWidth" | "pictureHeight">;

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
    curve: test.curve,
    picture: picture.jpeg,
    pictureWidth: picture.width,
    pictureHeight: picture.height,
  });
}
