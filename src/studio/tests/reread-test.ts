// Changes what is known about a saved test, reads its pictures again where that matters, and draws curve and advice
// anew.
import { testRequestSchema, type SavedTest, type TestRequest } from "#shared/schema/test.ts";
import { refusal } from "#shared/words/refusal-words.ts";
import { version } from "#src/version.ts";
import { assessAhead, assessWithMaterials } from "./assess-saved.ts";
import { refuseDayToCome } from "#src/studio/day-to-come.ts";
import { checkMaterials } from "#src/studio/materials/check-materials.ts";
import { checkChannel, drawnAnew } from "./drawn-strip.ts";
import { measurePrint, type PrintPictures } from "./measure-print.ts";
import { refuseIfChanged } from "#src/studio/seen-version.ts";
import type { Store } from "#src/store/store.ts";
import { readFadingAnew } from "#src/studio/cloth/read-fading.ts";
import { checkHeadToTail } from "./strips-of-sheet.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";

/** Fields that decide what is measured in the picture. */
const measuringFields = [
  "tablet",
  "corners",
  "reference",
  "takenBy",
  "instrument",
] as const satisfies readonly (keyof TestRequest)[];

/** So often a change is tried with what others have changed meanwhile, before it is made without waiting. */
const mostRounds = 4;

/**
 * Applies changes to a saved test. A field set to null is forgotten: `"corners": null` finds the tablet anew.
 *
 * @param changes any part of the test's request, as it came
 * @param seenVersion of the test that the changes were made on
 * @throws InputError "not-found", "changed-meanwhile", or whatever stops the reading
 * @throws ZodError when the changed request is not one
 */
export async function rereadTest(
  tools: Tools,
  id: string,
  changes: Readonly<Record<string, unknown>>,
  { seenVersion }: { seenVersion?: string | undefined } = {},
): Promise<SavedTest> {
  const { store } = tools;
  let measured: Pick<SavedTest, "request" | "reading" | "pictureId"> | null = null;
  for (let round = 1; ; round++) {
    const before = store.tests.get(id);
    refuseIfChanged(seenVersion, before, changes);
    const request = testRequestSchema.parse(withChanges(before.request, changes));
    checkMaterials(store, request);
    if (changes["madeAt"] !== undefined) refuseDayToCome(request.madeAt, "madeAt");
    if (changes["headToTailTestId"] !== undefined) checkHeadToTail(store, request, id);
    const known: NonNullable<typeof measured> = measured ?? before;
    if (!isMeasuredAlike(request, known.request)) {
      const reading = await measurePrint(tools, { request, pictures: picturesOf(before) });
      measured = { request, reading, pictureId: (await drawnAnew(tools, request, reading)) ?? before.pictureId };
      continue;
    }
    checkChannel(request, known.reading);
    const ahead = round > mostRounds ? undefined : await assessAhead(tools, request, known.reading);
    // What others changed while that was waited for is taken along: the next round begins with it. Where they go on
    // and on, the last one waits for nothing.
    if (ahead !== undefined && !isAsBefore(store.tests.get(id), before)) continue;
    const writable = forWriting(store);
    // Later pictures of the strip go by these too.
    const areLaterReadAnew = (["tablet", "takenBy"] as const).some(
      (field) => JSON.stringify(request[field]) !== JSON.stringify(before.request[field]),
    );
    const changed = writable.transaction(() => {
      const replaced = writable.tests.replace(id, {
        invented: before.invented,
        request,
        pictureId: known.pictureId,
        furtherPictures: before.furtherPictures,
        reading: known.reading,
        ...assessWithMaterials(store, request, known.reading, ahead),
        madeBy: version,
      });
      if (known !== before) assessSheetAnew(writable, id);
      return replaced;
    });
    if (areLaterReadAnew) await readFadingAnew(tools, id);
    return changed;
  }
}

/** The test that is read together with this one follows a new reading of it. */
function assessSheetAnew(store: Store, id: string): void {
  const withId = store.tests.findReadWith(id);
  if (withId === undefined) return;
  const { id: _id, createdAt: _createdAt, updatedAt: _updatedAt, ...record } = store.tests.get(withId);
  store.tests.replace(withId, { ...record, ...assessWithMaterials(store, record.request, record.reading) });
}

function isAsBefore(now: SavedTest, before: SavedTest): boolean {
  return JSON.stringify(now) === JSON.stringify(before);
}

/** Whether two requests ask for the same measurement. */
function isMeasuredAlike(one: TestRequest, other: TestRequest): boolean {
  return measuringFields.every((field) => JSON.stringify(one[field]) === JSON.stringify(other[field]));
}

function withChanges(request: TestRequest, changes: Readonly<Record<string, unknown>>): Record<string, unknown> {
  const merged: Record<string, unknown> = { ...request, ...changes };
  // A strip drawn from an instrument's numbers stays one when they are mended.
  if (request.instrument?.isDrawn === true && typeof merged["instrument"] === "object" && merged["instrument"] !== null)
    merged["instrument"] = { ...merged["instrument"], isDrawn: true };
  if (request.instrument?.isDrawn === true && merged["instrument"] === null)
    throw refusal("bad-request", { code: "picture-not-sent" }, { field: "instrument" });
  return Object.fromEntries(Object.entries(merged).filter(([, value]) => value !== null));
}

function picturesOf({ pictureId, furtherPictures: { photos, evenLight } }: SavedTest): PrintPictures {
  return { photos: [pictureId, ...photos], ...(evenLight === null ? {} : { evenLight }) };
}
