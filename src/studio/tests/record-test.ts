// Reads a test print, draws its curve and advice, and saves it all.
import { testRequestSchema, type SavedTest, type TestRequest } from "#shared/schema/test.ts";
import { version } from "#src/version.ts";
import { assessWithMaterials } from "./assess-saved.ts";
import { checkMaterials } from "#src/studio/materials/check-materials.ts";
import { measurePrint, type PrintPictures } from "./measure-print.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";

export interface TestToRecord {
  readonly request: TestRequest;
  readonly pictures: PrintPictures;
  /** True for the invented demo studio only. */
  readonly invented?: boolean;
  /** A fixed identifier, so that loading the demo again changes nothing. */
  readonly id?: string;
  readonly signal?: AbortSignal;
}

/**
 * Saves one test: pictures first, safely on the disk, then every row in one transaction.
 *
 * @throws InputError "bad-request" for unknown materials, and whatever stops the reading
 * @throws ZodError when the request is not one
 */
export async function recordTest(
  { store: reader, imaging }: Tools,
  { request: untrusted, pictures, invented = false, id, signal }: TestToRecord,
): Promise<SavedTest> {
  const store = forWriting(reader);
  const request = testRequestSchema.parse(untrusted);
  checkMaterials(store, request);
  const reading = await measurePrint({ imaging }, { request, pictures, ...(signal === undefined ? {} : { signal }) });
  const files = [...pictures.photos, ...(pictures.evenLight === undefined ? [] : [pictures.evenLight])];
  const written = await writeAll(store, files);
  try {
    return store.transaction(() => {
      const assessment = assessWithMaterials(store, request, reading);
      const ids = written.map((picture) => store.pictures.keep(picture));
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
    written.forEach((picture) => store.pictures.letGo(picture));
  }
}

type Writable = ReturnType<typeof forWriting>;
type Written = Awaited<ReturnType<Writable["pictures"]["write"]>>;

async function writeAll(store: Writable, files: readonly Uint8Array[]): Promise<Written[]> {
  const written: Written[] = [];
  try {
    for (const bytes of files) written.push(await store.pictures.write(bytes));
    return written;
  } catch (error) {
    written.forEach((picture) => store.pictures.letGo(picture));
    throw error;
  }
}
