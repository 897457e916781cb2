// A strip photographed again after washes or in light: its later readings, and what its steps lost.
import { InputError } from "#shared/errors.ts";
import { roundedTo } from "#shared/format/number.ts";
import {
  densityAfter,
  fadingCurve,
  fadingWarnings,
  halfAfter,
  isRefused,
  shareLeftAfter,
  type FadingCurve,
} from "#shared/prints/fading-curve.ts";
import type { Corners } from "#shared/schema/reading.ts";
import type { SavedTest } from "#shared/schema/test.ts";
import {
  fadingRecordSchema,
  type Fading,
  type FadingAxis,
  type FadingChange,
  type FadingQuery,
  type FadingReading,
  type FadingRecord,
  type FadingRequest,
} from "#shared/schema/workshop/fading.ts";
import { fadingRefusalWords, fadingWarningWords, laterReadingWords } from "#shared/words/cloth/cloth-words.ts";
import { inWords } from "#shared/words/sentences.ts";
import { measurePrint, type PrintPicture } from "#src/studio/tests/measure-print.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";

/** Densities are kept to this many decimals. */
const keptDecimals = 5;
/** Pieces of a drawn curve. */
const curvePieces = 40;

/**
 * What is measured in a later picture of a test's strip. Where the test's picture counts as a scan, one whose file does
 * not tell counts as one too.
 */
async function measuredIn(
  tools: Tools,
  picture: PrintPicture,
  { test, corners }: { readonly test: Pick<SavedTest, "request" | "reading">; readonly corners: Corners | undefined },
): Promise<Pick<FadingRecord, "steps" | "warnings" | "corners">> {
  const request = { tablet: test.request.tablet, corners };
  const reading = await measurePrint(tools, { request, pictures: { photos: [picture] } });
  const isScan = test.reading.camera?.by === "no-camera" && reading.camera?.isSupposed === true;
  return {
    corners: reading.location.corners,
    steps: reading.steps.map(({ index, red, visual, sigma }) => ({
      index,
      red: roundedTo(red, keptDecimals),
      visual: roundedTo(visual, keptDecimals),
      sigma: roundedTo(sigma, keptDecimals),
    })),
    warnings: reading.warnings
      .filter(({ code }) => !isScan || code !== "tone-unchecked")
      .map(({ code, message }) => ({ code, message })),
  };
}

/**
 * Reads a strip again and keeps the reading with its test.
 * @param photo its picture as a file, or the id of one that is stored
 * @throws InputError "not-found", and whatever stops the reading
 */
export async function readFading(
  tools: Tools,
  testId: string,
  { photo, request }: { readonly photo: PrintPicture; readonly request: FadingRequest },
): Promise<FadingReading> {
  const store = forWriting(tools.store);
  const test = store.tests.get(testId);
  const { washes, lightDays, notes, corners } = request;
  const record = fadingRecordSchema.parse({
    washes,
    lightDays,
    notes,
    madeOn: request.madeOn ?? new Date().toISOString().slice(0, 10),
    ...(await measuredIn(tools, photo, { test, corners })),
  });
  const keep = (pictureId: string): FadingReading => {
    // It may have been deleted while its strip was read.
    store.tests.get(testId);
    return store.fading.create({ testId, pictureId, record });
  };
  if (typeof photo === "string") return store.transaction(() => keep(store.pictures.get(photo).id));
  const written = await store.pictures.write(photo);
  try {
    return store.transaction(() => keep(store.pictures.keep(written)));
  } finally {
    store.pictures.letGo(written);
  }
}

/**
 * Changes what is known of a later reading. With corners its picture is read again: there, or, with null, wherever the
 * strip is found.
 * @throws InputError "not-found", and whatever stops the reading
 */
export async function changeFading(tools: Tools, id: string, changes: FadingChange): Promise<FadingReading> {
  const store = forWriting(tools.store);
  const { testId, pictureId } = store.fading.get(id);
  const { corners, ...told } = changes;
  const test = store.tests.get(testId);
  const measured =
    corners === undefined ? {} : await measuredIn(tools, pictureId, { test, corners: corners ?? undefined });
  return store.transaction(() =>
    store.fading.replace(id, fadingRecordSchema.parse({ ...store.fading.get(id), ...told, ...measured })),
  );
}

/**
 * Reads the later pictures of a strip again, as after its test's tablet was told anew. A picture that cannot be read
 * so keeps its densities, and says it.
 */
export async function readFadingAnew(tools: Tools, testId: string): Promise<void> {
  const store = forWriting(tools.store);
  const test = store.tests.get(testId);
  for (const { id, pictureId, corners } of store.fading.list(testId)) {
    let measured: Partial<FadingRecord>;
    try {
      measured = await measuredIn(tools, pictureId, { test, corners: corners ?? undefined });
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      measured = { warnings: inWords([{ code: "not-read-anew", detail: error.detail }], laterReadingWords) };
    }
    store.transaction(() => {
      const now = store.fading.find(id);
      if (now !== undefined) store.fading.replace(id, fadingRecordSchema.parse({ ...now, ...measured }));
    });
  }
}

/** Forgets a later reading with its picture. @throws InputError "not-found" */
export function forgetFading(tools: Pick<Tools, "store">, id: string): void {
  const store = forWriting(tools.store);
  const { pictureId } = store.fading.get(id);
  store.transaction(() => store.fading.remove(id));
  store.pictures.removeIfUnused(pictureId);
}

/**
 * The series of a strip, and for each of its steps what it lost.
 * @throws InputError "not-found"
 */
export function fadingOf({ store }: Pick<Tools, "store">, testId: string, query: FadingQuery): Fading {
  const test = store.tests.get(testId);
  const readings = [ownReading(test), ...store.fading.list(testId)];
  const over = query.over ?? axisOf(readings);
  const { channel } = test.request;
  const furthest = Math.max(...readings.map((reading) => reading[over]));
  const after = query.after ?? furthest;
  const fitted = test.reading.steps.map(({ index }) => {
    const points = readings.flatMap((reading) => {
      const step = reading.steps.find((each) => each.index === index);
      return step === undefined ? [] : [{ at: reading[over], density: step[channel], sigma: step.sigma }];
    });
    return { index, points, fit: fadingCurve(points) };
  });
  const curves = fitted.flatMap(({ index, fit }) => (isRefused(fit) ? [] : [{ step: index, curve: fit }]));
  return {
    testId,
    channel,
    over,
    readings,
    after,
    steps: fitted.map(({ index, points, fit }) =>
      isRefused(fit)
        ? { index, points, curve: null, refusal: { code: fit.code, message: fadingRefusalWords(fit) } }
        : { index, points, curve: told(fit, after, Math.max(furthest, after)), refusal: null },
    ),
    warnings: inWords(fadingWarnings({ curves, readings, asked: after }), fadingWarningWords),
  };
}

/** The test's own reading stands at the beginning. */
function ownReading(test: SavedTest): Fading["readings"][number] {
  return {
    id: null,
    createdAt: test.createdAt,
    testId: test.id,
    pictureId: test.pictureId,
    washes: 0,
    lightDays: 0,
    madeOn: (test.request.madeAt ?? test.createdAt).slice(0, 10),
    notes: "",
    corners: test.reading.location.corners,
    steps: test.reading.steps.map(({ index, red, visual, sigma }) => ({ index, red, visual, sigma })),
    warnings: [],
  };
}

/** Washes, unless only the days in light grew. */
function axisOf(readings: readonly { readonly washes: number; readonly lightDays: number }[]): FadingAxis {
  const grows = (axis: FadingAxis): boolean => readings.some((reading) => reading[axis] > 0);
  return !grows("washes") && grows("lightDays") ? "lightDays" : "washes";
}

function told(curve: FadingCurve, after: number, drawnTo: number): NonNullable<Fading["steps"][number]["curve"]> {
  return {
    startDensity: curve.startDensity,
    rate: curve.rate,
    half: halfAfter(curve),
    left: { density: densityAfter(curve, after), share: shareLeftAfter(curve, after) },
    samples: Array.from({ length: curvePieces + 1 }, (_, i) => {
      const at = (drawnTo * i) / curvePieces;
      const { value, lower, upper } = densityAfter(curve, at);
      return { at, density: value, lower, upper };
    }),
  };
}
