// Calibrations on their way out: tests with the materials and pictures that they need.
import { coatingInputSchema, filmInputSchema, lampInputSchema, supportInputSchema } from "#shared/schema/materials.ts";
import { sharedFormat, sharedFormatVersion, type SharedTest } from "#shared/schema/sharing.ts";
import type { SavedTest } from "#shared/schema/test.ts";
import type { Sender } from "#shared/schema/workshop/studio-name.ts";
import { version } from "#src/version.ts";
import type { Tools } from "#src/studio/tools.ts";

/**
 * The text of a file of shared calibrations, piece by piece, so that hundreds of pictures never stand in memory
 * together.
 * @param testIds tests to share, each once
 * @param from who sends it; a test that came from elsewhere keeps its own sender
 * @throws InputError "not-found", or "picture-missing" before the first piece
 */
export async function* sharedCalibrations(
  { store }: Pick<Tools, "store">,
  testIds: readonly string[],
  from: Sender | null = null,
): AsyncGenerator<string> {
  const tests = testIds.map((id) => store.tests.get(id));
  for (const id of new Set(tests.flatMap(pictureIdsOf))) store.pictures.mustBeHere(id);
  const requests = tests.map((test) => test.request);
  const records = <Material, Input>(
    ids: readonly string[],
    table: { get(id: string): Material },
    schema: { parse(value: unknown): Input },
  ): Record<string, Input> => Object.fromEntries([...new Set(ids)].map((id) => [id, schema.parse(table.get(id))]));
  const head = {
    format: sharedFormat,
    formatVersion: sharedFormatVersion,
    madeBy: version,
    ...(from === null ? {} : { from }),
    lamps: records(
      requests.map((request) => request.lampId),
      store.lamps,
      lampInputSchema,
    ),
    supports: records(
      requests.map((request) => request.supportId),
      store.supports,
      supportInputSchema,
    ),
    // The shelf and the printers stay at home: they mean nothing in another studio.
    coatings: records(
      requests.map((request) => request.coatingId),
      store.coatings,
      coatingWithoutShelf,
    ),
    films: records(
      requests.flatMap((request) => request.filmId ?? []),
      store.films,
      filmWithoutPrinter,
    ),
    tests: tests.map(sharedTestFrom),
  };
  yield `${JSON.stringify(head, null, 1).slice(0, -2)},\n "pictures": {`;
  const pictureIds = [...new Set(tests.flatMap(pictureIdsOf))];
  for (const [index, id] of pictureIds.entries()) {
    const bytes = Buffer.from(await store.pictures.read(id));
    yield `${index === 0 ? "" : ","}\n  ${JSON.stringify(id)}: "${bytes.toString("base64")}"`;
  }
  yield "\n }\n}\n";
}

const coatingWithoutShelf = coatingInputSchema.omit({ stockIds: true }).transform(({ batches, ...coating }) => ({
  ...coating,
  ...(batches == null ? {} : { batches: batches.map((batch) => ({ ...batch, stockIds: [] })) }),
}));
const filmWithoutPrinter = filmInputSchema.transform(({ printerId: _printerId, ...film }) => film);

function sharedTestFrom(test: SavedTest): SharedTest {
  return {
    // Corners that were found travel with the test, so that the other studio samples the very same places.
    request: {
      ...test.request,
      corners: test.request.tablet.kind === "sheet" ? test.request.corners : [...test.reading.location.corners],
    },
    createdAt: test.createdAt,
    invented: test.invented,
    pictures: { photos: [test.pictureId, ...test.furtherPictures.photos], evenLight: test.furtherPictures.evenLight },
  };
}

function pictureIdsOf(test: SavedTest): string[] {
  return [
    test.pictureId,
    ...test.furtherPictures.photos,
    ...(test.furtherPictures.evenLight === null ? [] : [test.furtherPictures.evenLight]),
  ];
}
