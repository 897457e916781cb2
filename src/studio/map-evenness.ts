// Draws the map of a lamp's light over its bed, from one even exposure or from several tablets.
import { stopsFromLogH } from "#shared/units/stops.ts";
import { logHAtDensity, logHAtShare, shareAt } from "#shared/curve/curve-at.ts";
import { fitCharacteristicCurve } from "#shared/curve/fit-characteristic-curve.ts";
import { InputError } from "#shared/errors.ts";
import { evennessMap, type MeasuredPlace } from "#shared/exposure/evenness.ts";
import { evennessReasons } from "#shared/exposure/evenness-reasons.ts";
import { homographyFromCorners, inverseHomography, mapPoint } from "#shared/reading/homography.ts";
import type { Curve } from "#shared/schema/curve.ts";
import type { Evenness, EvennessRequest } from "#shared/schema/evenness.ts";
import type { Corners, PointPx, ReadingStep, Tablet, Warning } from "#shared/schema/reading.ts";
import { stepLogH } from "#shared/tablet/log-exposure.ts";
import { plainTime } from "#shared/units/plain-time.ts";
import type { Tools } from "./tools.ts";

/** Blue outside these shares of the curve hardly changes with light, and says nothing about it. common practice, no source */
const tellingShares = { least: 0.08, most: 0.94 };
/** Share of the bed that must print within them. */
const leastTelling = 0.7;
const fewestTellingSteps = 3;

export interface EvennessPictures {
  readonly photo: Uint8Array;
  readonly evenLight?: Uint8Array;
}

/** @throws InputError "evenness-unknown" when the picture cannot tell the lamp's light from its own, and whatever stops a reading */
export function mapEvenness(tools: Tools, { request, pictures, signal }: { request: EvennessRequest; pictures: EvennessPictures; signal?: AbortSignal }): Promise<Evenness> {
  const options = signal === undefined ? {} : { signal };
  return request.kind === "exposure" ? fromExposure(tools, request, pictures, options) : fromTablets(tools, request, pictures, options);
}

async function fromExposure({ store, imaging }: Tools, request: Extract<EvennessRequest, { kind: "exposure" }>, pictures: EvennessPictures, options: { signal?: AbortSignal }): Promise<Evenness> {
  const test = store.tests.find(request.testId);
  const curve = test?.curve ?? null;
  if (test === undefined || curve === null) {
    throw new InputError("bad-request", "Choose a test of the same coating on the same paper that has a curve: it turns the blue of the print into light.", { field: "testId" });
  }
  const field = await imaging.run("measure-field", { picture: pictures.photo, corners: request.corners, ...(pictures.evenLight === undefined ? {} : { evenLight: pictures.evenLight }) }, options);
  const places = field.places.flatMap((place): MeasuredPlace[] => {
    const logH = logHAtDensity(curve, curve.channel === "red" ? place.red : place.visual);
    if (logH === null) return [];
    const share = shareAt(curve, logH);
    return share < tellingShares.least || share > tellingShares.most ? [] : [{ x: place.x, y: place.y, stops: stopsFromLogH(logH) }];
  });
  if (places.length < leastTelling * field.places.length) {
    const middle = logHAtShare(curve, 0.5);
    throw new InputError("evenness-unknown", `${Math.round(100 - (100 * places.length) / field.places.length)} % of the area is so dark or so pale that its blue hardly changes with light, and says nothing about it. Print a middle blue${middle === null ? "" : `: about ${plainTime(10 ** middle)} without a film`}.`, { field: "photo" });
  }
  const warnings: Warning[] = [];
  if (field.pictureLightStops > 0.5) warnings.push({ code: "light-uneven", message: `The light of the picture itself differs by ${field.pictureLightStops.toFixed(1)} stops over the area. It was taken out, but a picture in even light makes the map surer.` });
  if (places.length < field.places.length) warnings.push({ code: "places-left-out", message: `${field.places.length - places.length} of ${field.places.length} places were too dark or too pale to tell, and were left out.` });
  return finished({ kind: "exposure", places, request, lightFrom: field.lightFrom, warnings });
}

async function fromTablets({ imaging }: Tools, request: Extract<EvennessRequest, { kind: "tablets" }>, pictures: EvennessPictures, options: { signal?: AbortSignal }): Promise<Evenness> {
  if (request.tablet.kind === "levels" || request.tablet.kind === "sheet") {
    throw new InputError("bad-request", "Strips of grey levels have no known densities. Lay step tablets, or timed strips uncovered together.", { field: "tablet" });
  }
  const toBed = inverseHomography(homographyFromCorners(request.corners));
  const read = [];
  for (const [i, { corners }] of request.tablets.entries()) {
    try {
      const reading = await imaging.run("measure-reading", { picture: pictures.photo, request: { tablet: request.tablet, corners } }, options);
      read.push({ place: mapPoint(toBed, ...middleOf(corners)), steps: reading.steps, warnings: reading.warnings });
    } catch (error) {
      if (error instanceof InputError && error.field === "corners") throw new InputError(error.code, `Tablet ${i + 1}: ${error.detail}`, { field: `tablets.${i}.corners`, cause: error });
      throw error;
    }
  }
  const middle = [...read].sort((a, b) => Math.hypot(a.place[0] - 0.5, a.place[1] - 0.5) - Math.hypot(b.place[0] - 0.5, b.place[1] - 0.5))[0]!;
  const curve = fitCharacteristicCurve({ channel: "red", steps: middle.steps.map((step) => ({ index: step.index, logH: relativeLogH(request.tablet, step), sigmaLogH: 0, density: step.red, sigma: step.sigma, isFlagged: step.flags.length > 0 })) });
  if (curve === null) throw new InputError("evenness-unknown", "The tablet nearest the middle gave no curve. Check its corners, and that its steps run from paper to deep blue.", { field: "tablets" });
  const places = read.map(({ place, steps }, i): MeasuredPlace => {
    const shift = shiftOf(curve, request.tablet, steps);
    if (shift === null) throw new InputError("evenness-unknown", `Tablet ${i + 1} has too few steps of middle blue to be compared with the others. Check its corners, and the exposure.`, { field: `tablets.${i}.corners` });
    return { x: place[0], y: place[1], stops: stopsFromLogH(shift) };
  });
  const warnings: Warning[] = read.some(({ warnings: own }) => own.some(({ code }) => code === "no-paper"))
    ? [{ code: "no-paper", message: "Beside some tablets no bare paper was found, so the picture's own light could not be taken out there. Leave bare paper round each tablet." }]
    : [];
  return finished({ kind: "tablets", places, request, lightFrom: "paper-beside-tablets", warnings });
}

function relativeLogH(tablet: Tablet, step: ReadingStep): number {
  return stepLogH({ tablet, input: step.input, exposureSeconds: 1, levelDensity: null }) ?? 0;
}

/** Median over a tablet's telling steps of how much more light its blue speaks of than the middle tablet's [log10]. */
function shiftOf(curve: Curve, tablet: Tablet, steps: readonly ReadingStep[]): number | null {
  const shifts = steps.flatMap((step) => {
    const logH = step.flags.length > 0 ? null : logHAtDensity(curve, step.red);
    if (logH === null) return [];
    const share = shareAt(curve, logH);
    return share < tellingShares.least || share > tellingShares.most ? [] : [logH - relativeLogH(tablet, step)];
  }).sort((a, b) => a - b);
  return shifts.length < fewestTellingSteps ? null : (shifts[(shifts.length - 1) >> 1]! + shifts[shifts.length >> 1]!) / 2;
}

const middleOf = (corners: Corners): PointPx => [corners.reduce((sum, [x]) => sum + x, 0) / 4, corners.reduce((sum, [, y]) => sum + y, 0) / 4];

function finished({ kind, places, request, lightFrom, warnings }: { kind: Evenness["kind"]; places: readonly MeasuredPlace[]; request: EvennessRequest; lightFrom: Evenness["lightFrom"]; warnings: readonly Warning[] }): Evenness {
  const map = evennessMap(places, { widthMm: request.bedWidthMm, heightMm: request.bedHeightMm });
  return { kind, ...map, lightFrom, corners: request.corners, reasons: evennessReasons(map), warnings };
}
