// Draws the map of a lamp's light over its bed, from one even exposure or from several tablets.
import { createHash } from "node:crypto";
import { InputError } from "#shared/errors.ts";
import type { MeasuredPlace } from "#shared/evenness/drawn-light.ts";
import { evennessMap } from "#shared/evenness/evenness.ts";
import { lightFromBlue } from "#shared/evenness/light-from-blue.ts";
import { lightAtTablets, type ReadTablet } from "#shared/evenness/evenness-from-tablets.ts";
import type { EvennessWarning } from "#shared/evenness/evenness-facts.ts";
import { evennessReasons, evennessWarningWords } from "#shared/words/materials/evenness-words.ts";
import { inWords } from "#shared/words/sentences.ts";
import { errorInWords, inPlainWords } from "#shared/words/trouble-words.ts";
import {
  homographyFromCorners,
  inverseHomography,
  mapPoint,
  type Homography,
} from "#shared/reading/corners/homography.ts";
import type { Evenness, EvennessRequest, SavedEvenness } from "#shared/schema/evenness.ts";
import type { Lamp } from "#shared/schema/materials.ts";
import { refusal } from "#shared/words/refusal-words.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";

export interface EvennessPictures {
  readonly photo: Uint8Array;
  readonly evenLight?: Uint8Array | undefined;
}

/** What the pictures tell of the light over a bed. */
interface MeasuredBed {
  readonly places: readonly MeasuredPlace[];
  readonly lightFrom: Evenness["lightFrom"];
  readonly warnings: readonly EvennessWarning[];
}

/** A map that was kept with no lamp is forgotten after this time: thirty days [ms]. */
const unusedKeptMs = 30 * 86_400_000;

/**
 * Draws the map and keeps it under an id.
 * @throws InputError "evenness-unknown" when the picture cannot tell the lamp's light from its own, and whatever stops
 *   a reading
 */
export async function mapEvenness(
  tools: Tools,
  {
    request,
    pictures,
    signal,
  }: { request: EvennessRequest; pictures: EvennessPictures; signal?: AbortSignal | undefined },
): Promise<SavedEvenness> {
  // Looked for before the pictures are measured: a lamp that is not there helps none of them.
  const lamp = lampOver(tools.store, request);
  const options = { signal };
  const measured =
    request.kind === "exposure"
      ? await fromExposure(tools, request, pictures, options)
      : await fromTablets(tools, request, pictures, options);
  const map = await drawn(tools, { request, measured, lamp });
  const { evennessMaps } = forWriting(tools.store);
  const saved = evennessMaps.save(map);
  evennessMaps.removeUnusedBefore(new Date(Date.parse(saved.createdAt) - unusedKeptMs).toISOString());
  return saved;
}

async function fromExposure(
  { store, imaging }: Tools,
  request: Extract<EvennessRequest, { kind: "exposure" }>,
  pictures: EvennessPictures,
  options: { signal: AbortSignal | undefined },
): Promise<MeasuredBed> {
  const test = store.tests.find(request.testId);
  const curve = test?.curve ?? null;
  if (test === undefined || curve === null) {
    throw refusal("bad-request", { code: "no-curve-for-blue" }, { field: "testId" });
  }
  const field = await imaging.run(
    "measure-field",
    {
      picture: pictures.photo,
      corners: request.corners,
      evenLight: pictures.evenLight,
    },
    options,
  );
  const places = inPlainWords(() => lightFromBlue(field.places, curve));
  const warnings: EvennessWarning[] = [];
  if (field.pictureLightStops > 0.5) warnings.push({ code: "light-uneven", stops: field.pictureLightStops });
  const leftOut = field.places.length - places.length;
  if (leftOut > 0) warnings.push({ code: "places-left-out", count: leftOut, of: field.places.length });
  return { places, lightFrom: field.lightFrom, warnings };
}

async function fromTablets(
  { imaging }: Tools,
  request: Extract<EvennessRequest, { kind: "tablets" }>,
  pictures: EvennessPictures,
  options: { signal: AbortSignal | undefined },
): Promise<MeasuredBed> {
  if (request.tablet.kind === "levels" || request.tablet.kind === "sheet") {
    throw refusal("bad-request", { code: "levels-on-bed" }, { field: "tablet" });
  }
  const toBed = request.corners === undefined ? null : inverseHomography(homographyFromCorners(request.corners));
  // Every tablet lies in the same picture, which is decoded once: the name is its content's own hash.
  const keepAs = createHash("sha256").update(pictures.photo).digest("hex");
  const read: ReadTablet[] = [];
  let isPaperMissing = false;
  for (const [i, { corners, place }] of request.tablets.entries()) {
    try {
      const reading = await imaging.run(
        "measure-reading",
        { picture: pictures.photo, request: { tablet: request.tablet, corners } },
        { ...options, keepAs },
      );
      read.push({ placeOf: place === undefined ? placeOnBed(toBed) : () => place, steps: reading.steps });
      isPaperMissing ||= reading.warnings.some(({ code }) => code === "no-paper");
    } catch (error) {
      if (error instanceof InputError && error.field === "corners")
        throw refusal(
          error.code,
          { code: "tablet-on-bed-stops", tablet: i + 1, detail: error.detail },
          {
            field: `tablets.${i}.corners`,
            cause: error,
          },
        );
      throw error;
    }
  }
  const { places, warnings: found } = inPlainWords(() => lightAtTablets(request.tablet, read));
  const warnings: EvennessWarning[] = isPaperMissing ? [...found, { code: "no-paper" }] : found;
  return { places, lightFrom: "paper-beside-tablets", warnings };
}

function placeOnBed(toBed: Homography | null): ReadTablet["placeOf"] {
  if (toBed === null)
    throw new TypeError("The schema lets no tablet through that has neither a place nor a bed to lie on.");
  return (point) => {
    const [x, y] = mapPoint(toBed, ...point);
    return { x, y };
  };
}

/** @throws InputError "bad-request" for a lamp that is not there */
function lampOver(store: Tools["store"], { lampId = "" }: EvennessRequest): Lamp | null {
  if (lampId === "") return null;
  const lamp = store.lamps.find(lampId);
  if (lamp === undefined)
    throw refusal("bad-request", { code: "no-such-ingredient", what: "lamp", id: lampId }, { field: "lampId" });
  return lamp;
}

async function drawn(
  { assessThread }: Pick<Tools, "assessThread">,
  {
    request,
    measured: { places, lightFrom, warnings },
    lamp,
  }: { readonly request: EvennessRequest; readonly measured: MeasuredBed; readonly lamp: Lamp | null },
): Promise<Evenness> {
  const bed = { widthMm: request.bedWidthMm, heightMm: request.bedHeightMm };
  const map =
    assessThread === undefined
      ? evennessMap(places, bed, lamp)
      : await assessThread.mapEvenness(places, bed, lamp).catch((error: unknown) => {
          throw errorInWords(error);
        });
  return {
    kind: request.kind,
    ...map,
    lightFrom,
    corners: request.corners ?? null,
    reasons: evennessReasons(map),
    warnings: inWords(warnings, evennessWarningWords),
  };
}
