// Puts the invented studio of samples/ into the store: its materials, and its tests read from their pictures like any
// other.
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import {
  sampleStudioSchema,
  sampleTruthSchema,
  type SampleStudio,
  type SampleTest,
} from "#shared/schema/sample-studio.ts";
import { testRequestSchema } from "#shared/schema/test.ts";
import { sampleNotes } from "#shared/words/file-words.ts";
import { recordTest } from "#src/studio/tests/record-test.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";

export interface LoadedSamples {
  readonly name: string;
  /** Tests that were not there yet. */
  readonly added: number;
  readonly testIds: readonly string[];
}

/**
 * Loads what is missing of the invented studio; asked again, it changes nothing. Its tests are marked as invented.
 *
 * @param samplesDir the project's samples folder
 */
export async function loadSamples(tools: Tools, samplesDir: string): Promise<LoadedSamples> {
  const studio = sampleStudioSchema.parse(JSON.parse(await readFile(join(samplesDir, "studio.json"), "utf8")));
  addMaterials(tools, studio);
  const missing = studio.tests.filter((test) => tools.store.tests.find(sampleTestId(test)) === undefined);
  await Promise.all(missing.map((test) => addTest(tools, test, join(samplesDir, "pictures"))));
  return { name: studio.name, added: missing.length, testIds: studio.tests.map(sampleTestId) };
}

/** Identifier of a sample's test in every store. */
export function sampleTestId(test: Pick<SampleTest, "key">): string {
  return `sample-test-${test.key}`;
}

function addMaterials(tools: Tools, studio: SampleStudio): void {
  const store = forWriting(tools.store);
  store.transaction(() => {
    for (const { id, ...lamp } of studio.lamps)
      if (store.lamps.find(id) === undefined) store.lamps.create(lamp, { id });
    for (const { id, ...support } of studio.supports)
      if (store.supports.find(id) === undefined) store.supports.create(support, { id });
    for (const { id, ...coating } of studio.coatings)
      if (store.coatings.find(id) === undefined) store.coatings.create(coating, { id });
    for (const { id, ...film } of studio.films)
      if (store.films.find(id) === undefined) store.films.create(film, { id });
  });
}

async function addTest(tools: Tools, test: SampleTest, picturesDir: string): Promise<void> {
  const { key, about, seed: _seed, kind: _kind, megapixels: _megapixels, ...fields } = test;
  const { corners, request: shown } = sampleTruthSchema.parse(
    JSON.parse(await readFile(join(picturesDir, `${key}.truth.json`), "utf8")),
  );
  const photo = await readFile(join(picturesDir, `${key}.jpg`));
  const request = testRequestSchema.parse({
    ...fields,
    ...shown,
    corners,
    notes: sampleNotes(about),
  });
  await recordTest(tools, { request, pictures: { photos: [photo] }, invented: true, id: sampleTestId(test) });
}
