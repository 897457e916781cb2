// Where the wedge sheet lies in a picture: its code says what it is, its ring marks where every millimetre is.
import { readingTrouble } from "#shared/reading/reading-troubles.ts";
import { ofEachCorner } from "#shared/reading/corners/each-corner.ts";
import { mapPoint, type Homography } from "#shared/reading/corners/homography.ts";
import { homographyFromPoints, type PointPair } from "#shared/reading/corners/homography-from-points.ts";
import type { Corners, PointPx } from "#shared/schema/reading.ts";
import { parseSheetCode, type SheetCode } from "#shared/tablet/wedge-sheet-code.ts";
import { sheetLayout, type SheetLayout } from "#shared/tablet/wedge-sheet-layout.ts";
import type { Raster } from "#src/imaging/decode/decode.ts";
import { findCodes, type FoundCode } from "#src/imaging/matrix-code.ts";
import {
  candidatesIn,
  codeCorners,
  fourMarks,
  isConvex,
  isMirrored,
  mapByMarks,
  mapFromMarks,
  marksReachMm,
  matchMarks,
} from "./match-marks.ts";
import { redPlane, type RedPlane } from "./red-plane.ts";
import type { RingCandidate } from "./ring-marks.ts";

export interface SheetPlace {
  readonly layout: SheetLayout;
  /** Millimetres of the sheet to upright pixels of the picture. */
  readonly toPicture: Homography;
  readonly correctionMark: string | null;
  /** Inks of an ink sheet; null for a sheet of grey levels. */
  readonly inkMask: number | null;
  readonly mirrored: boolean;
  /** True when marks and code are light on a dark ground: the film was printed as a positive. */
  readonly inverted: boolean;
  readonly registration: "code-and-marks" | "marks" | "corners";
  /** Largest distance of a mark from where the others put it [mm]; null with corners alone. */
  readonly markErrorMm: number | null;
}

/** Sides of the planes on which the code is looked for, in turn; the marks are looked for on the first. */
const planeSidesPx = [1700, 850, 2600];
/** Looks for the code at several sizes; null when none of ours is there. */
async function sheetCode(
  raster: Raster,
  planes: Map<number, RedPlane>,
): Promise<{ code: SheetCode; found: FoundCode } | null> {
  for (const side of planeSidesPx) {
    if (side > 1.5 * Math.max(raster.width, raster.height) && side !== planeSidesPx[0]) continue;
    const plane = redPlane(raster, side);
    planes.set(side, plane);
    for (const found of await findCodes(plane.value, plane.width, plane.height)) {
      const code = parseSheetCode(found.text);
      if (code === null) continue;
      const full = (point: PointPx): PointPx => [point[0] * plane.factor, point[1] * plane.factor];
      return { code, found: { ...found, corners: ofEachCorner(found.corners, full) } };
    }
  }
  return null;
}

/**
 * Finds the sheet without help.
 * @throws TroubleError "no-tablet-found" with the best guess of the corners in `extra`
 */
export async function findSheet(raster: Raster): Promise<SheetPlace> {
  const planes = new Map<number, RedPlane>();
  const seen = await sheetCode(raster, planes);
  if (seen === null) {
    throw readingTrouble("no-tablet-found", { code: "no-sheet" }, { field: "corners" });
  }
  const place = placeByCode(raster, planes, seen);
  if ("guess" in place) {
    throw readingTrouble(
      "no-tablet-found",
      { code: "sheet-marks-missing" },
      { field: "corners", extra: { corners: place.guess } },
    );
  }
  return place;
}

/** The sheet by its code and at least three of its marks, or else a guess of the marks' centres from the code alone. */
function placeByCode(
  raster: Raster,
  planes: ReadonlyMap<number, RedPlane>,
  { code, found }: { code: SheetCode; found: FoundCode },
): SheetPlace | { guess: Corners } {
  const layout = sheetLayout(code.options);
  const plane = planes.get(planeSidesPx[0]!) ?? redPlane(raster, planeSidesPx[0]!);
  const codePairs = codeCorners(layout).map((from, i): PointPair => ({ from, to: found.corners[i]!, sigma: 6 }));
  const candidates = candidatesIn(plane, found.inverted);
  const matched = fourMarks(layout, candidates, found.corners) ?? matchMarks(layout, candidates, codePairs);
  if (matched.filter((mark) => mark !== null).length < 3)
    return {
      guess: ofEachCorner(layout.marks, (mark) => mapPoint(homographyFromPoints(codePairs), mark.xMm, mark.yMm)),
    };
  const { toPicture, markErrorMm } = mapByMarks(layout, matched, codePairs);
  return {
    layout,
    toPicture,
    correctionMark: code.correctionMark,
    inkMask: code.inkMask,
    mirrored: found.mirrored,
    inverted: found.inverted,
    registration: "code-and-marks",
    markErrorMm,
  };
}

/**
 * Finds the sheet with the help of four corners: centres of the ring marks, or the outer corners of the white block.
 * Code and marks are surer than any hand and come first; then the corners are drawn to marks that lie near; then they
 * are taken as they are.
 */
export async function placeSheet(
  raster: Raster,
  corners: Corners,
  options: { levels?: number | undefined; replicates?: number | undefined; widthMm?: number | undefined },
): Promise<SheetPlace> {
  if (!isConvex(corners)) {
    throw readingTrouble("corners-impossible", { code: "sheet-corners-crossed" }, { field: "corners" });
  }
  const planes = new Map<number, RedPlane>();
  const seen = await sheetCode(raster, planes);
  const byCode = seen === null ? null : placeByCode(raster, planes, seen);
  if (byCode !== null && !("guess" in byCode)) return byCode;
  const layout = sheetLayout(seen?.code.options ?? options);
  const plane = planes.get(planeSidesPx[0]!) ?? redPlane(raster, planeSidesPx[0]!);
  const placed = (map: SheetMap, how: Pick<SheetPlace, "inverted" | "registration">): SheetPlace => ({
    layout,
    ...map,
    ...how,
    correctionMark: seen?.code.correctionMark ?? null,
    inkMask: seen?.code.inkMask ?? null,
    mirrored: isMirrored(map.toPicture, layout),
  });
  for (const inverted of seen === null ? [false, true] : [seen.found.inverted]) {
    const near = placeByMarks(layout, candidatesIn(plane, inverted), corners);
    if (near !== null) return placed(near, { inverted, registration: seen === null ? "marks" : "code-and-marks" });
  }
  const byCorners = { toPicture: mapFromMarks(layout, corners), markErrorMm: null };
  return placed(byCorners, { inverted: seen?.found.inverted ?? false, registration: "corners" });
}

type SheetMap = Pick<SheetPlace, "toPicture" | "markErrorMm">;

/** The map by four marks near marked corners, as centres of the marks or as the block's outer corners; null without. */
function placeByMarks(layout: SheetLayout, candidates: readonly RingCandidate[], corners: Corners): SheetMap | null {
  const { widthMm } = layout.options;
  const marks = ofEachCorner(layout.marks, (mark): [number, number] => [mark.xMm, mark.yMm]);
  const outer: [number, number][] = [
    [0, 0],
    [widthMm, 0],
    [widthMm, layout.heightMm],
    [0, layout.heightMm],
  ];
  for (const places of [marks, outer]) {
    const pairs = places.map((from, i): PointPair => ({ from, to: corners[i]!, sigma: 1 }));
    const matched = matchMarks(layout, candidates, pairs, marksReachMm);
    if (matched.every((mark) => mark !== null)) return mapByMarks(layout, matched, []);
  }
  return null;
}
