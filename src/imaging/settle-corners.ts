// Corners as people mark them are a little off, or well inside the strip: the boundary that the picture shows near them
// counts, and where the picture says otherwise, the place is doubted.
// Numbers: common practice, no source (rendered scenes with corners moved by 0.3 to 1.2 % of the length, or 15 to 35 %
// of the width).
import { identityConfidence } from "#shared/reading/corners/finding-confidence.ts";
import { ofEachCorner } from "#shared/reading/corners/each-corner.ts";
import { homographyFromCorners, mapPoint } from "#shared/reading/corners/homography.ts";
import type { StripWarning } from "#shared/reading/reading-facts.ts";
import { readingTrouble } from "#shared/reading/reading-troubles.ts";
import type { Corners, PointPx, Tablet } from "#shared/schema/reading.ts";
import { stepInputs } from "#shared/tablet/step-inputs.ts";
import type { Raster } from "./decode/decode.ts";
import { frameMarked, type FramedStrip } from "./find/framed-strip.ts";
import { isGoodComb } from "./find/other-count.ts";
import { cornersOfCourse, stripOf, tonesBeside } from "./find/place-strip.ts";
import { stripBand } from "./find/strip-band.ts";
import type { Field } from "./find/smoothed-field.ts";
import { frameOfCorners, frameToSmall, smallToFrame } from "./find/strip-frame.ts";
import { fallOverBoundaries, numberings, type Numbering } from "./find/strip-numbering.ts";
import { evenedCorners } from "./even-steps.ts";
import { darkFirst, inStepOrder } from "./find-tablet.ts";
import { betterCount, partRound, turnedCorners } from "./marked-otherwise.ts";

export interface SettledCorners {
  readonly corners: Corners;
  readonly confidence: number;
  readonly warnings: readonly StripWarning[];
}

/** Marks are usually this good along the strip: one standard deviation, share of its length. */
const markSigmaShare = 0.006;
/** The marked ends lie within so much of the true ones, share of the length, and at least so many steps. */
const nearShare = 0.025;
const nearSteps = 0.35;
/** Corners closer than this to what the picture shows stay as they were marked: steps along, heights across. */
const goodSteps = 0.12;
const goodHeights = 0.08;
/** ... more than so many standard uncertainties of where the picture shows a boundary. */
const sureSigmas = 2.5;
/** A long edge may lie so many marked heights outside the mark, and so many inside. */
const mostOutside = 1.4;
const mostInside = 0.3;
/** Numberings looked at closely. */
const numberingsTried = 8;
/** Another place that leaves this much less unexplained speaks against the marked one. */
const clearlyBetter = 2.5;
/** Confidence in corners that the picture speaks against. */
const doubted = 0.45;
/** Only what is this surely the strip is settled on. */
const leastIdentity = 0.6;
/** A strip that falls by less than this (log10) shows nothing to settle on. */
const leastFall = 0.1;

/** A row of boundaries that is plain to see counts like a strip that falls by so much, beside marks. */
const plainFall = 0.3;
/**
 * Tones beyond both long edges that follow the steps' own by more than this lie in the strip; beyond one of them, where
 * a thing may lie on the strip along the other, by more than that.
 */
const followedInside = { beyondBoth: 0.5, beyondOne: 0.8 } as const;

/** Long edges seen along this share of the strip say how high it is at either end. */
const plainSupport = 0.72;
/** Even then the middle is placed no better than this, in steps: lenses bend, cloth stretches. */
const leastMiddleSteps = 0.15;

/** Boundaries that even steps move further than this, in steps, make a doubt. */
const mostEvened = 0.5;

/**
 * Settles marked corners on the picture. Their confidence is 1 unless the picture speaks against them.
 * @throws TroubleError "corners-impossible" where the steps run from corner 1 to corner 4; `extra.guess` has them
 *   turned
 */
export function settleCorners(raster: Raster, marked: Corners, tablet: Tablet): SettledCorners {
  const inDoubt = (warning: StripWarning): SettledCorners => ({
    corners: marked,
    confidence: doubted,
    warnings: [warning],
  });
  const steps = stepInputs(tablet).length;
  const darkEnd = darkFirst(tablet);
  if (darkEnd === null || steps < 3) return { corners: marked, confidence: 1, warnings: [] };
  const { field, corners, inPicture } = partRound(raster, marked, darkEnd);
  const framed = frameMarked(field, corners, steps);
  if (framed === null || !isGoodComb(framed)) {
    const turned = turnedCorners(field, corners, steps);
    if (turned !== null)
      throw readingTrouble(
        "corners-impossible",
        { code: "corners-turned" },
        { field: "corners", extra: { guess: inStepOrder(ofEachCorner(turned, inPicture), darkEnd) } },
      );
    const looksLike = betterCount(field, corners, steps, framed);
    if (looksLike !== null) return inDoubt({ code: "looks-like-other-count", declared: steps, looksLike });
  }
  const first: Look = lookAt(framed, corners, steps);
  const look = first === "unsettled" ? evenedLook(field, { framed, corners, steps }) : first;
  if (look === "doubted") return inDoubt({ code: "corners-doubted" });
  if (look === "good" || look === "unsettled")
    // Marks that nothing settles are good enough, unless the steps go on beyond their long edges.
    return goOnBeside(field, corners, steps)
      ? inDoubt({ code: "corners-doubted" })
      : { corners: marked, confidence: 1, warnings: [] };
  const clamp = (value: number, most: number) => Math.min(Math.max(value, 0), most);
  const inside = ofEachCorner(inStepOrder(ofEachCorner(look, inPicture), darkEnd), ([x, y]): PointPx => [
    clamp(x, raster.width),
    clamp(y, raster.height),
  ]);
  const movedPx = Math.max(...inside.map(([x, y], i) => Math.hypot(x - marked[i]![0], y - marked[i]![1])));
  return { corners: inside, confidence: 1, warnings: [{ code: "corners-settled", movedPx }] };
}

/** What the picture says of marked corners: that they are good, nothing, that they are wrong, or where they belong. */
type Look = "good" | "unsettled" | "doubted" | Corners;

/** Marks beside the boundaries that are seen between them. @param corners small pixels, the dark end first */
function lookAt(framed: FramedStrip | null, corners: Corners, steps: number): Look {
  if (framed === null) return "unsettled";
  const near = stripNear(framed, corners, steps);
  if (near === "none") return "unsettled";
  if (near === "elsewhere") return "doubted";
  const settled = settledOn(framed, near, steps);
  const judged = judgedAgainst(framed, { corners, settled, near, steps });
  if (judged === "good") return "good";
  return judged === "implausible" ? "doubted" : settled;
}

/**
 * Marks that the boundaries do not settle: their steps may hold parts of their neighbours, and so hide the boundaries.
 * They are moved until the steps are even; what then shows itself counts.
 */
function evenedLook(field: Field, { framed, corners, steps }: Marked): Look {
  const evened = framed === null ? evenedCorners(field, corners, { steps, ...byMarks(corners, steps) }) : null;
  const seen = framed ?? (evened === null ? null : frameMarked(field, evened.corners, steps));
  if (framed === null && seen !== null) {
    const look = lookAt(seen, corners, steps);
    if (look !== "unsettled") return look;
  }
  const edged = seen === null ? null : onLongEdges(seen, corners, steps);
  const even = edged === null ? evened : evenedCorners(field, corners, { steps, ...byMarks(corners, steps), ...edged });
  if (even === null || even.movedSteps < goodSteps) return "unsettled";
  // Further than half a step away it may be the neighbour's boundary: even steps alone do not tell which.
  const isSure = even.isAlone && even.movedSteps < mostEvened;
  return isSure && !goOnBeside(field, even.corners, steps) ? even.corners : "doubted";
}

interface Marked {
  readonly framed: FramedStrip | null;
  /** Small pixels, the dark end first. */
  readonly corners: Corners;
  readonly steps: number;
}

/** How well marks alone place the ends and the middle, in steps. */
function byMarks([a, b, c, d]: Corners, steps: number): { readonly endSteps: number; readonly middleSteps: number } {
  const apart = (p: PointPx, q: PointPx) => Math.hypot(p[0] - q[0], p[1] - q[1]);
  const lengthInHeights = (apart(a, b) + apart(d, c)) / (apart(a, d) + apart(b, c));
  const endSteps = markSigmaShare * steps;
  // Two heights of two marks each, whose ratio is the perspective.
  return { endSteps, middleSteps: (endSteps * lengthInHeights) / 2 };
}

/** Marks moved across the strip onto its long edges, where these are seen, and how well those place the middle. */
function onLongEdges(
  { frame, edges, shrink }: FramedStrip,
  corners: Corners,
  steps: number,
): { readonly start: Corners; readonly middleSteps: number } | null {
  if (Math.min(edges[0].support, edges[1].support) < plainSupport) return null;
  let at = 0;
  const start = ofEachCorner(corners, (mark): PointPx => {
    const [s] = smallToFrame(frame, ...mark);
    const edge = at++ < 2 ? frame.top : frame.bottom;
    return frameToSmall(frame, s, edge[0] + edge[1] * s);
  });
  return { start, middleSteps: Math.max(leastMiddleSteps, (shrink.sigma * steps ** 2) / 8) };
}

/** Whether the steps go on beyond the long edges of a marked strip. @param corners small pixels, the dark end first */
function goOnBeside(field: Field, corners: Corners, steps: number): boolean {
  const frame = frameOfCorners(corners, field);
  const toSmall = homographyFromCorners(corners);
  const placeOf = (k: number): number => smallToFrame(frame, ...mapPoint(toSmall, k / steps, 0.5))[0];
  const band = stripBand(field, frame, (placeOf(steps) - placeOf(0)) / steps);
  const followed = tonesBeside(band, placeOf, steps);
  return Math.min(...followed) > followedInside.beyondBoth || Math.max(...followed) > followedInside.beyondOne;
}

/** The strip that the picture shows near the marked one, and where the marks lie along it [small px]. */
interface NearStrip {
  readonly course: Numbering["course"];
  readonly lean: NonNullable<ReturnType<typeof stripOf>>["lean"];
  readonly pitch: number;
  /** How far an end may lie from its mark [small px]. */
  readonly reach: number;
}

/** @returns "none" when the picture shows no strip, "elsewhere" when it shows one that is not where the marks are */
function stripNear(framed: FramedStrip, corners: Corners, steps: number): NearStrip | "none" | "elsewhere" {
  const middle = (p: PointPx, q: PointPx): PointPx => [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2];
  const [markedFrom, markedTo] = [
    smallToFrame(framed.frame, ...middle(corners[0], corners[3]))[0],
    smallToFrame(framed.frame, ...middle(corners[1], corners[2]))[0],
  ];
  const pitch = (markedTo - markedFrom) / steps;
  const reach = Math.max(nearSteps, nearShare * steps) * pitch;
  const isNear = ({ course }: Numbering) =>
    Math.abs(course.placeOf(0) - markedFrom) < reach && Math.abs(course.placeOf(steps) - markedTo) < reach;
  const sigma = markSigmaShare * (markedTo - markedFrom);
  const marks = [
    { number: 0, s: markedFrom, sigma },
    { number: steps, s: markedTo, sigma },
  ];
  const numbered = numberings(framed, steps, { tried: numberingsTried, marks });
  const best = numbered.find(isNear);
  if (best === undefined) return isGoodComb(framed) ? "elsewhere" : "none";
  const rival = numbered.find((other) => other !== best);
  const strip = stripOf(framed, steps, best, rival);
  // A few dark steps of a strip that is pale else are enough beside marks.
  const fall = isGoodComb(framed) ? Math.max(fallOverBoundaries(framed), plainFall) : fallOverBoundaries(framed);
  if (strip === null || fall < leastFall) return "none";
  if (rival !== undefined && best.cost - rival.cost > clearlyBetter) return "elsewhere";
  if (identityConfidence({ ...strip.evidence, fall }, steps) < leastIdentity) return "none";
  return { course: best.course, lean: strip.lean, pitch, reach };
}

/** Corners where picture and marks together show the strip. */
const settledOn = ({ frame }: FramedStrip, { course, lean }: NearStrip, steps: number): Corners =>
  cornersOfCourse({ ...frame, lean }, course.placeOf, steps);

/** Whether marks are as good as what the picture shows, or so far from it that neither is to be believed. */
function judgedAgainst(
  { frame }: FramedStrip,
  { corners, settled, near, steps }: { corners: Corners; settled: Corners; near: NearStrip; steps: number },
): "good" | "to be settled" | "implausible" {
  const { course, pitch, reach } = near;
  const moves = settled.map((corner, i) => {
    const [ds, dt] = subtract(smallToFrame(frame, ...corner), smallToFrame(frame, ...corners[i]!));
    return { along: Math.abs(ds) / pitch, outwards: i < 2 ? -dt : dt };
  });
  const toSmall = homographyFromCorners(corners);
  const misfits = Array.from({ length: steps + 1 }, (_, k) => {
    const [s] = smallToFrame(frame, ...mapPoint(toSmall, k / steps, 0.5));
    const foretold = course.at(k);
    return (Math.abs(s - foretold.s) - sureSigmas * foretold.usualSigma) / pitch;
  });
  const [heightMarked, heightSettled] = [heightOf(corners), heightOf(settled)];
  if (
    misfits.every((misfit) => misfit < goodSteps) &&
    moves.every(({ along, outwards }) => along < goodSteps && Math.abs(outwards) < goodHeights * heightSettled)
  )
    return "good";
  const isPlausible = moves.every(
    ({ along, outwards }) =>
      along * pitch < reach * 1.5 && outwards < mostOutside * heightMarked && outwards > -mostInside * heightMarked,
  );
  return isPlausible ? "to be settled" : "implausible";
}

const heightOf = (quad: Corners) =>
  (Math.hypot(quad[3][0] - quad[0][0], quad[3][1] - quad[0][1]) +
    Math.hypot(quad[2][0] - quad[1][0], quad[2][1] - quad[1][1])) /
  2;

const subtract = (p: PointPx, q: PointPx): PointPx => [p[0] - q[0], p[1] - q[1]];
