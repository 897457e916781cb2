// Reads a test print, draws its curve and advice, and saves it all.
import { testRequestSchema, type SavedTest, type TestRequest } from "#shared/schema/test.ts";
import { version } from "#src/version.ts";
import { assessAhead, assessWithMaterials } from "./assess-saved.ts";
import { refuseDayToCome } from "#src/studio/day-to-come.ts";
import { checkMaterials } from "#src/studio/materials/check-materials.ts";
import { checkChannel, withDrawnStrip } from "./drawn-strip.ts";
import { measurePrint, type PrintPicture, type PrintPictures } from "./measure-print.ts";
import { checkHeadToTail } from "./strips-of-sheet.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";

export interface TestToRecord {
  readonly request: TestRequest;
  readonly pictures: PrintPictures;
  /** True for the invented demo studio only. */
  readonly invented?: boolean;
  /** A fixed identifier, so that loading the demo again changes nothing. */
  readonly id?: string;
  readonly signal?: AbortSignal | undefined;
  /**
   * Makes what the test is made with and is not here yet, in the transaction that saves it: a process that dies leaves
   * both or neither.
   */
  readonly bringMaterials?: () => Pick<TestRequest, "lampId" | "supportId" | "coatingId" | "batchId" | "filmId">;
}

/**
 * Saves one test: pictures that came as files first, safely on the disk, then every row in one transaction.
 *
 * @throws InputError "bad-request" for unknown materials, and whatever stops the reading
 * @throws ZodError when the request is not one
 */
export async function recordTest(
  tools: Tools,
  { request: untrusted, pictures: sent, invented = false, id, signal, bringMaterials }: TestToRecord,
): Promise<SavedTest> {
  const store = forWriting(tools.store);
  const parsed = testRequestSchema.parse(untrusted);
  if (bringMaterials === undefined) checkMaterials(store, parsed);
  checkHeadToTail(store, parsed);
  refuseDayToCome(parsed.madeAt, "madeAt");
  const { asked, pictures } = await withDrawnStrip(tools, parsed, sent);
  const reading = await measurePrint(tools, { request: asked, pictures, signal });
  checkChannel(asked, reading);
  const ahead = await assessAhead(tools, asked, reading);
  const files = [...pictures.photos, ...(pictures.evenLight === undefined ? [] : [pictures.evenLight])];
  const written = await writeAll(store, files);
  try {
    return store.transaction(() => {
      const request = { ...asked, ...bringMaterials?.() };
      if (bringMaterials !== undefined) checkMaterials(store, request);
      const assessment = assessWithMaterials(store, request, reading, ahead);
      const ids = written.map((picture) => idOf(store, picture));
      const photoIds = ids.slice(0, pictures.photos.length);
      return store.tests.save(
        {
          invented,
          request,
          pictureId: photoIds[0] ?? "",
          furtherPictures: { photos: photoIds.slice(1), evenLight: ids[pictures.photos.length] ?? null },
          reading,
          ...assessment,
          madeBy: version,
        },
        id === undefined ? {} : { id },
      );
    });
  } finally {
    letGo(store, written);
  }
}

type Writable = ReturnType<typeof forWriting>;
/** A picture that was stored before, by its id, or one that is written and waits for its row. */
type Written = string | Awaited<ReturnType<Writable["pictures"]["write"]>>;

async function writeAll(store: Writable, pictures: readonly PrintPicture[]): Promise<Written[]> {
  const written: Written[] = [];
  try {
    for (const picture of pictures)
      written.push(typeof picture === "string" ? picture : await store.pictures.write(picture));
    return written;
  } catch (error) {
    letGo(store, written);
    throw error;
  }
}

/** @throws InputError "not-found" when a stored picture went while the others were read */
function idOf(store: Writable, picture: Written): string {
  return typeof picture === "string" ? store.pictures.get(picture).id : store.pictures.keep(picture);
}

function letGo(store: Writable, written: readonly Written[]): void {
  for (const picture of written) if (typeof picture !== "string") store.pictures.letGo(picture);
}
