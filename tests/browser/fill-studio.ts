// Puts some of the invented studio's prints into a server under test, over its own routes.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { rootDir } from "#src/settings.ts";

const folder = join(rootDir, "samples");
const materialFields = ["lampId", "supportId", "coatingId", "filmId"];

type Fields = Readonly<Record<string, unknown>>;
type Corner = readonly [number, number];

interface Studio {
  readonly tests: readonly (Fields & { readonly key: string })[];
  readonly [kind: string]: readonly Fields[];
}

export interface SampleStudio {
  /** Ids here of the invented studio's materials, by their ids there. */
  readonly ids: ReadonlyMap<unknown, string>;
  /**
   * Saves the print of a sample. `changes`: fields of its request, materials by their ids in samples/studio.json.
   * `isAnotherPrint`: the file differs in a byte, so that it does not count as the same picture sent again.
   */
  save(key: string, changes?: Fields, isAnotherPrint?: boolean): Promise<string>;
  /** The corners of a sample's tablet in its picture. */
  corners(key: string): readonly Corner[];
}

/** The invented studio's materials in a server, and a way to save its prints there. */
export async function sampleStudio(address: string): Promise<SampleStudio> {
  const studio = JSON.parse(readFileSync(join(folder, "studio.json"), "utf8")) as Studio;
  const ids = new Map<unknown, string>();
  for (const kind of ["lamps", "supports", "coatings", "films"]) {
    for (const { id, ...input } of studio[kind] ?? [])
      ids.set(
        id,
        await idOf(
          fetch(`${address}/api/${kind}`, {
            method: "POST",
            headers: { "content-type": "application/json" },
            body: JSON.stringify(input),
          }),
        ),
      );
  }
  const truth = (key: string) =>
    JSON.parse(readFileSync(join(folder, "pictures", `${key}.truth.json`), "utf8")) as {
      corners: readonly Corner[];
      request: { reference?: unknown };
    };
  return {
    ids,
    corners: (key) => truth(key).corners,
    save(key, changes = {}, isAnotherPrint = false) {
      const found = studio.tests.find((test) => test.key === key);
      if (found === undefined) throw new Error(`There is no sample "${key}".`);
      const { key: _key, seed: _seed, about: _about, kind: _kind, megapixels: _megapixels, ...fields } = found;
      const { corners, request: shown } = truth(key);
      const reference = shown.reference === undefined ? {} : { reference: shown.reference };
      const request: Record<string, unknown> = { ...fields, ...reference, corners, ...changes };
      for (const field of materialFields) if (field in request) request[field] = ids.get(request[field]);
      const form = new FormData();
      form.append(
        "photo",
        new Blob([readFileSync(join(folder, "pictures", `${key}.jpg`)), isAnotherPrint ? "\n" : ""]),
        `${key}.jpg`,
      );
      form.append("request", JSON.stringify(request));
      return idOf(fetch(`${address}/api/tests`, { method: "POST", body: form }));
    },
  };
}

/** Saves the named samples with everything they were made with; gives the tests' ids in the same order. */
export async function fillStudio(address: string, keys: readonly string[]): Promise<string[]> {
  const studio = await sampleStudio(address);
  const saved: string[] = [];
  for (const key of keys) saved.push(await studio.save(key));
  return saved;
}

async function idOf(answer: Promise<Response>): Promise<string> {
  const response = await answer;
  const body = (await response.json()) as { id?: string; detail?: string };
  if (response.status !== 201 || body.id === undefined)
    throw new Error(`The sample could not be saved: ${body.detail ?? response.status}`);
  return body.id;
}
