// Where a test's page leads with what it knows: a filled run sheet, the day under the sun.
import type { SavedTest } from "#shared/schema/test.ts";
import type { StoreReader } from "#src/store/store.ts";
import { placeWarnings } from "#shared/words/tests/verdict-words.ts";
import { zoneOfStart } from "#shared/sun/local-clock.ts";
import type { StandingView } from "./standing/standing-view.ts";
import { runSheetQuery } from "#src/web/prints/run-sheet-query.ts";
import { horizonFields, horizonValues } from "#src/web/sun/horizon-fields.ts";

/**
 * A run sheet filled with the test's materials and time; null where there is none to print by, where its steps may not
 * be in their place, where the sun decides, or where other tests contradict it.
 * The time is the combination's where its tests together say another than this one.
 */
export function printHrefOf(
  { request, exposure, warnings }: SavedTest,
  { mayPrint, printTime }: Pick<StandingView, "mayPrint" | "printTime">,
): string | null {
  if (exposure.seconds === null || request.sun != null || exposure.verdict === "unreliable" || !mayPrint) return null;
  if (warnings.some(({ code }) => placeWarnings.has(code))) return null;
  const seconds = printTime?.seconds ?? exposure.seconds;
  const range = printTime ?? exposure.nextPrint ?? exposure;
  return `/prints/new?${runSheetQuery(request, { ...range, seconds })}`;
}

/** The day planner scaled by the test; null when it was not printed in the sun. */
export function sunHrefOf(test: SavedTest): string | null {
  const { sun } = test.request;
  if (sun === undefined || sun === null || test.exposure.seconds === null) return null;
  const query = new URLSearchParams({
    latitude: String(sun.latitude),
    longitude: String(sun.longitude),
    tiltDegrees: String(sun.tiltDegrees),
    facingDegrees: String(sun.facingDegrees),
    timeZone: zoneOfStart(sun),
    sky: sun.sky ?? "clear",
    ...(sun.elevationM === undefined ? {} : { elevationM: String(sun.elevationM) }),
    ...(sun.ground === undefined ? {} : { ground: sun.ground }),
    ...horizonValues(sun.horizonDegrees, horizonFields),
    chosen: "yes",
    anchor: `test:${test.id}`,
  });
  return `/sun?${query.toString()}`;
}

/** Newest tests among which one on another paper is looked for. */
const newestLooked = 200;

/** A way to hold this test against the newest one on another paper or fabric, under the same light and coating. */
export interface WayToCompare {
  readonly href: string;
  readonly label: string;
  readonly supportName: string;
}

/** @returns null where the test has no time, or no such other test is kept */
export function wayToCompare(store: StoreReader, { id, request, exposure }: SavedTest): WayToCompare | null {
  if (exposure.seconds === null) return null;
  const { lampId, coatingId, supportId } = request;
  const leftOut = store.changes.leftOut();
  const other = store.tests
    .list({ lampId, coatingId, limit: newestLooked })
    .tests.find(
      (test) =>
        test.supportId !== supportId &&
        test.exposure.verdict === "ok" &&
        test.exposure.seconds !== null &&
        !leftOut.has(test.id),
    );
  if (other === undefined) return null;
  const support = store.supports.get(other.supportId);
  const isOfOtherKind = support.kind !== store.supports.get(supportId).kind;
  const what = support.kind === "fabric" ? "cloth" : "paper";
  return {
    // The others are held against the first.
    href: `/comparisons?${new URLSearchParams([
      ["testId", other.id],
      ["testId", id],
    ]).toString()}`,
    label: `Against the ${isOfOtherKind ? "" : "other "}${what}`,
    supportName: support.name,
  };
}
