// Puts some of the invented studio's prints into a server under test, over its own routes.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { rootDir } from "#src/settings.ts";

const folder = join(rootDir, "samples");

interface Studio {
  readonly tests: readonly (Readonly<Record<string, unknown>> & { readonly key: string })[];
  readonly [kind: string]: readonly Readonly<Record<string, unknown>>[];
}

/** Saves the named samples with everything they were made with; gives the tests' ids in the same order. */
export async function fillStudio(address: string, keys: readonly string[]): Promise<string[]> {
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
  const saved: string[] = [];
  for (const key of keys) {
    const found = studio.tests.find((test) => test.key === key);
    if (found === undefined) throw new Error(`There is no sample "${key}".`);
    const truth = JSON.parse(readFileSync(join(folder, "pictures", `${key}.truth.json`), "utf8")) as {
      corners: unknown;
    };
    const { key: _key, seed: _seed, about: _about, kind: _kind, megapixels: _megapixels, ...fields } = found;
    const request: Record<string, unknown> = { ...fields };
    for (const field of ["lampId", "supportId", "coatingId", "filmId"])
      if (field in request) request[field] = ids.get(request[field]);
    const form = new FormData();
    form.append("photo", new Blob([readFileSync(join(folder, "pictures", `${key}.jpg`))]), `${key}.jpg`);
    form.append("request", JSON.stringify({ ...request, corners: truth.corners }));
    saved.push(await idOf(fetch(`${address}/api/tests`, { method: "POST", body: form })));
  }
  return saved;
}

async function idOf(answer: Promise<Response>): Promise<string> {
  const response = await answer;
  const body = (await response.json()) as { id?: string; detail?: string };
  if (response.status !== 201 || body.id === undefined)
    throw new Error(`The sample could not be saved: ${body.detail ?? response.status}`);
  return body.id;
}
