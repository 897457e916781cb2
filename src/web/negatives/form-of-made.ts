// A made negative's settings as the form would have to be filled to make another like it.
import { targetText } from "#shared/correction/target-text.ts";
import { fileDepths, greyMixes } from "#shared/correction/negative-form.ts";
import { filmSizes } from "#shared/correction/film-sizes.ts";
import { inkNamed, inkText } from "#shared/tablet/film-inks.ts";
import type { NegativeRequest } from "#shared/schema/negative.ts";
import type { FormValues } from "#src/web/parts/form-values.ts";

const ticked = (isSo: boolean): string => (isSo ? "yes" : "");
const numberText = (value: number | null | undefined): string => (value == null ? "" : String(value));

/** Everything but the picture and its crop. */
export function formOfMade(request: NegativeRequest): FormValues {
  const { target, greyWeights, channels, bits } = request;
  const mix = Object.entries(greyMixes).find(
    ([, { weights }]) => JSON.stringify(weights) === JSON.stringify(greyWeights),
  );
  const isFree = request.filmWidthMm == null && request.filmHeightMm == null;
  const film = filmSizes.find(
    ({ widthMm, heightMm }) => widthMm === request.filmWidthMm && heightMm === (request.filmHeightMm ?? null),
  );
  const side = (["widthMm", "heightMm", "longSideMm"] as const).find((name) => request[name] != null) ?? "widthMm";
  const depth = `${channels}-${bits}`;
  return {
    testId: request.testId,
    target: targetText(target),
    curveId: request.curveId ?? "",
    side,
    widthMm: numberText(request[side]),
    dpi: String(request.dpi),
    filmSize: film?.key ?? (isFree ? "" : "own"),
    filmWidthMm: film === undefined ? numberText(request.filmWidthMm) : "",
    filmHeightMm: film === undefined ? numberText(request.filmHeightMm) : "",
    overlapMm: String(request.overlapMm),
    greyMix: mix?.[0] ?? "luminance",
    contrast: String(request.contrast),
    sharpening: String(request.sharpening),
    marginMm: String(request.marginMm),
    marginTone: request.marginTone,
    registrationMarks: ticked(request.registrationMarks),
    marginStrip: ticked(request.marginStrip),
    caption: ticked(request.caption),
    invert: ticked(request.invert),
    mirror: ticked(request.mirror),
    format: request.format,
    ink: inkText(request.ink) === inkText(inkNamed("black")) ? "" : inkText(request.ink),
    depth: depth in fileDepths ? depth : "grey-8",
  };
}
