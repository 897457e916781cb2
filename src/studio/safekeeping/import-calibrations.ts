// Calibrations on their way in: nothing is believed that can be measured again.
import { createHash } from "node:crypto";
import { InputError } from "#shared/errors.ts";
import type { MaterialKind } from "#shared/schema/materials.ts";
import {
  sharedCalibrationsSchema,
  type ImportAnswer,
  type ImportedTest,
  type SharedCalibrations,
  type SharedTest,
} from "#shared/schema/sharing.ts";
import type { SavedTest, TestRequest } from "#shared/schema/test.ts";
import { refusal, type Ingredient } from "#shared/words/refusal-words.ts";
import { recordTest } from "#src/studio/tests/record-test.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";

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
  const known = {
    lamps: new Map<string, string>(),
    supports: new Map<string, string>(),
    coatings: new Map<string, string>(),
    films: new Map<string, string>(),
  };
  const made: { kind: MaterialKind; id: string }[] = [];
  const here = (kind: MaterialKind, key: string): string => {
    const before = known[kind].get(key);
    if (before !== undefined) return before;
    const { id, isNew } = materialHere(tools, kind, shared[kind][key] as { name: string; kind?: string });
    if (isNew) made.push({ kind, id });
    known[kind].set(key, id);
    return id;
  };

  const tests: ImportedTest[] = [];
  for (const test of shared.tests) {
    const request: TestRequest = {
      ...test.request,
      lampId: here("lamps", test.request.lampId),
      supportId: here("supports", test.request.supportId),
      coatingId: here("coatings", test.request.coatingId),
      ...(test.request.filmId ? { filmId: here("films", test.request.filmId) } : {}),
      madeAt: test.request.madeAt ?? test.createdAt,
    };
    tests.push(await importTest(tools, { test, request, pictures }));
  }
  // A material of which every test was refused has no business here.
  const unused = made.filter(({ kind, id }) => tools.store[kind].countTests(id) === 0);
  unused.forEach(({ kind, id }) => forWriting(tools.store)[kind].remove(id));
  const count = (outcome: ImportedTest["outcome"]): number => tests.filter((each) => each.outcome === outcome).length;
  return {
    tests,
    added: count("added"),
    alreadyHere: count("already-here"),
    refused: count("refused"),
    materialsAdded: made.length - unused.length,
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

/** The material of this name and nature that is here, or a new one. */
function materialHere(
  { store }: Tools,
  kind: MaterialKind,
  record: { name: string; kind?: string },
): { id: string; isNew: boolean } {
  const alike = store[kind]
    .list({ archived: true })
    .find(
      (each) =>
        each.name.toLowerCase() === record.name.toLowerCase() && (!("kind" in each) || each.kind === record.kind),
    );
  if (alike !== undefined) return { id: alike.id, isNew: false };
  const table: { create(input: unknown): { id: string } } = store[kind] as never;
  return { id: table.create({ ...record, archived: false }).id, isNew: true };
}

async function importTest(
  tools: Tools,
  { test, request, pictures }: { test: SharedTest; request: TestRequest; pictures: ReadonlyMap<string, Uint8Array> },
): Promise<ImportedTest> {
  const { name } = request;
  const twin = twinOf(tools, test, request);
  if (twin !== undefined) return { outcome: "already-here", id: twin.id, name, reason: "" };
  const bytesOf = (id: string): Uint8Array => pictures.get(id) ?? new Uint8Array();
  try {
    const saved = await recordTest(tools, {
      request,
      invented: test.invented,
      pictures: {
        photos: test.pictures.photos.map(bytesOf),
        ...(test.pictures.evenLight === null ? {} : { evenLight: bytesOf(test.pictures.evenLight) }),
      },
    });
    return { outcome: "added", id: saved.id, name, reason: "" };
  } catch (error) {
    if (!(error instanceof InputError) || error.code === "busy") throw error;
    return { outcome: "refused", id: null, name, reason: error.detail };
  }
}

/** A test that is here already: same picture, same materials, same exposure, same tablet. */
function twinOf({ store }: Tools, test: SharedTest, request: TestRequest): SavedTest | undefined {
  const { lampId, supportId, coatingId } = request;
  const candidates = store.tests
    .list({ lampId, supportId, coatingId, limit: 1000 })
    .tests.filter((each) => each.pictureId === test.pictures.photos[0]);
  return candidates
    .map((each) => store.tests.get(each.id))
    .find(
      (each) =>
        each.request.exposureSeconds === request.exposureSeconds &&
        JSON.stringify(each.request.tablet) === JSON.stringify(request.tablet) &&
        (each.request.filmId ?? null) === (request.filmId ?? null),
    );
}
