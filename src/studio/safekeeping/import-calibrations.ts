// Calibrations on their way in: nothing is believed that can be measured again.
import { createHash } from "node:crypto";
import { isBatchOf } from "#shared/coating/batches.ts";
import { InputError } from "#shared/errors.ts";
import type { FilmInput, MaterialKind } from "#shared/schema/materials.ts";
import {
  sharedCalibrationsSchema,
  type ImportAnswer,
  type ImportedTest,
  type SharedCalibrations,
  type SharedTest,
} from "#shared/schema/sharing.ts";
import type { SavedTest } from "#shared/schema/test.ts";
import { refusal, type Ingredient } from "#shared/words/refusal-words.ts";
import { recordTest } from "#src/studio/tests/record-test.ts";
import { addMaterial } from "#src/studio/materials/keep-material.ts";
import type { Tools } from "#src/studio/tools.ts";

/**
 * Brings in a file of shared calibrations. Every picture is read and every curve fitted anew; a test whose picture and
 * conditions are here already is left alone; a material of the same name and nature is used instead of a second one.
 * A test that cannot be read is refused by name and the rest go on.
 * @throws ZodError when the file is none of ours
 * @throws InputError "bad-request" when the file does not hang together
 */
export async function importCalibrations(tools: Tools, untrusted: unknown): Promise<ImportAnswer> {
  const shared = sharedCalibrationsSchema.parse(untrusted);
  const pictures = picturesOf(shared);
  shared.tests.forEach((test, index) => checkWhole(shared, pictures, test, index));
  const tests: ImportedTest[] = [];
  let materialsAdded = 0;
  for (const test of shared.tests) {
    const imported = await importTest(tools, { shared, test, pictures });
    tests.push(imported.test);
    materialsAdded += imported.materialsAdded;
  }
  const count = (outcome: ImportedTest["outcome"]): number => tests.filter((each) => each.outcome === outcome).length;
  return {
    from: shared.from ?? null,
    tests,
    added: count("added"),
    alreadyHere: count("already-here"),
    refused: count("refused"),
    materialsAdded,
  };
}

/** @throws InputError when bytes do not fit their name */
function picturesOf(shared: SharedCalibrations): Map<string, Uint8Array> {
  const pictures = new Map<string, Uint8Array>();
  for (const [id, base64] of Object.entries(shared.pictures)) {
    const bytes = Buffer.from(base64, "base64");
    if (createHash("sha256").update(bytes).digest("hex") !== id) {
      throw refusal("bad-request", { code: "shared-picture-changed" }, { field: `pictures.${id}` });
    }
    pictures.set(id, bytes);
  }
  return pictures;
}

function checkWhole(
  shared: SharedCalibrations,
  pictures: ReadonlyMap<string, Uint8Array>,
  { request, pictures: named }: SharedTest,
  index: number,
): void {
  const incomplete = (missing: Ingredient | "picture"): InputError =>
    refusal("bad-request", { code: "shared-test-incomplete", test: index + 1, missing }, { field: `tests.${index}` });
  if (!Object.hasOwn(shared.lamps, request.lampId)) throw incomplete("lamp");
  if (!Object.hasOwn(shared.supports, request.supportId)) throw incomplete("support");
  if (!Object.hasOwn(shared.coatings, request.coatingId)) throw incomplete("coating");
  if (request.filmId && !Object.hasOwn(shared.films, request.filmId)) throw incomplete("film");
  if ([...named.photos, ...(named.evenLight === null ? [] : [named.evenLight])].some((id) => !pictures.has(id)))
    throw incomplete("picture");
}

/** The material of this name and nature that is here. */
function materialHere(
  { store }: Tools,
  kind: MaterialKind,
  shared: SharedCalibrations,
  key: string,
): string | undefined {
  const { name, kind: nature } = shared[kind][key] as { name: string; kind?: string };
  return store[kind]
    .list({ archived: true })
    .find((each) => each.name.toLowerCase() === name.toLowerCase() && (!("kind" in each) || each.kind === nature))?.id;
}

/** The material that is here, or a new one. Call it inside a transaction. */
function bringMaterial(
  tools: Tools,
  { kind, shared, key, onNew }: { kind: MaterialKind; shared: SharedCalibrations; key: string; onNew: () => void },
): string {
  const here = materialHere(tools, kind, shared, key);
  if (here !== undefined) return here;
  onNew();
  const brought = kind === "films" ? withLampsHere(tools, shared, shared.films[key]) : shared[kind][key];
  return addMaterial(tools, kind, { ...brought, archived: false }).id;
}

/** A film with what was measured of it in the light of lamps that are here too. */
function withLampsHere(tools: Tools, shared: SharedCalibrations, film: FilmInput | undefined) {
  const inLights = (film?.inLights ?? []).flatMap((each) => {
    const lampId = Object.hasOwn(shared.lamps, each.lampId)
      ? materialHere(tools, "lamps", shared, each.lampId)
      : undefined;
    return lampId === undefined ? [] : [{ ...each, lampId }];
  });
  return { ...film, inLights: [...new Map(inLights.map((each) => [each.lampId, each])).values()] };
}

/** The batch that a test names, where the coating here knows it; none otherwise. */
function batchHere({ store }: Tools, coatingId: string, batchId: string | null | undefined): string | null {
  const isKnown = batchId != null && isBatchOf(store.coatings.get(coatingId), batchId);
  return isKnown ? batchId : null;
}

async function importTest(
  tools: Tools,
  {
    shared,
    test,
    pictures,
  }: { shared: SharedCalibrations; test: SharedTest; pictures: ReadonlyMap<string, Uint8Array> },
): Promise<{ test: ImportedTest; materialsAdded: number }> {
  const { lampId, supportId, coatingId, batchId, filmId, name } = test.request;
  const refused = { materialsAdded: 0 };
  const twin = twinOf(tools, shared, test);
  if (twin !== undefined) return { ...refused, test: { outcome: "already-here", id: twin.id, name, reason: "" } };
  const bytesOf = (id: string): Uint8Array => pictures.get(id) ?? new Uint8Array();
  let materialsAdded = 0;
  const bring = (kind: MaterialKind, key: string): string =>
    bringMaterial(tools, { kind, shared, key, onNew: () => materialsAdded++ });
  try {
    const saved = await recordTest(tools, {
      request: {
        ...test.request,
        madeAt: test.request.madeAt ?? test.createdAt,
        from: test.request.from ?? shared.from ?? null,
        // A test of the other studio, which nothing in the file tells from the rest: each strip is read by itself.
        headToTailTestId: null,
      },
      bringMaterials: () => {
        const coatingHere = bring("coatings", coatingId);
        return {
          lampId: bring("lamps", lampId),
          supportId: bring("supports", supportId),
          coatingId: coatingHere,
          batchId: batchHere(tools, coatingHere, batchId),
          ...(filmId ? { filmId: bring("films", filmId) } : {}),
        };
      },
      invented: test.invented,
      pictures: {
        photos: test.pictures.photos.map(bytesOf),
        ...(test.pictures.evenLight === null ? {} : { evenLight: bytesOf(test.pictures.evenLight) }),
      },
    });
    return { materialsAdded, test: { outcome: "added", id: saved.id, name, reason: "" } };
  } catch (error) {
    if (!(error instanceof InputError) || error.code === "busy") throw error;
    return { ...refused, test: { outcome: "refused", id: null, name, reason: error.detail } };
  }
}

/** A test that is here already: same picture, same materials, same exposure, same tablet. */
function twinOf(tools: Tools, shared: SharedCalibrations, { request, pictures }: SharedTest): SavedTest | undefined {
  const { store } = tools;
  const lampId = materialHere(tools, "lamps", shared, request.lampId);
  const supportId = materialHere(tools, "supports", shared, request.supportId);
  const coatingId = materialHere(tools, "coatings", shared, request.coatingId);
  const filmId = request.filmId ? materialHere(tools, "films", shared, request.filmId) : null;
  if (lampId === undefined || supportId === undefined || coatingId === undefined || filmId === undefined)
    return undefined;
  return store.tests
    .list({ lampId, supportId, coatingId, limit: 1000 })
    .tests.filter((each) => each.pictureId === pictures.photos[0])
    .map((each) => store.tests.get(each.id))
    .find(
      (each) =>
        each.request.exposureSeconds === request.exposureSeconds &&
        JSON.stringify(each.request.tablet) === JSON.stringify(request.tablet) &&
        (each.request.filmId ?? null) === filmId,
    );
}
