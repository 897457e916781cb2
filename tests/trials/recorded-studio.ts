// A studio whose every acknowledged act is written down, so that it can be looked for after a blow.
import { createHash } from "node:crypto";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import type { Random } from "#shared/statistics/random.ts";
import { blueprintDensities, stripFile } from "../support/pictures/strip-picture.ts";

const corners = [
  [50, 60],
  [470, 60],
  [470, 140],
  [50, 140],
] as [[number, number], [number, number], [number, number], [number, number]];
const strip = await stripFile({ width: 520, height: 200, corners, densities: blueprintDensities });
const tablet = { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 };
const fewestLiving = 5;
const mostShared = 4;

interface Materials {
  readonly lampId: string;
  readonly supportId: string;
  readonly coatingId: string;
}

interface SharedFile {
  supports: Record<string, { name: string }>;
  tests: { request: { name?: string } }[];
}

export class RecordedStudio {
  readonly troubles: string[] = [];
  readonly counts = { saved: 0, changed: 0, deleted: 0, imported: 0, restored: 0, negatives: 0, lamps: 0 };
  /** A test's name, or null once it was deleted. */
  readonly #names = new Map<string, string | null>();
  /** Tests with a change under way: either state is right. */
  readonly #unsure = new Set<string>();
  readonly #lampIds = new Set<string>();
  /** Marks of imports that were acknowledged. */
  readonly #imports = new Set<string>();
  readonly #random: Random;
  readonly #padding: number;
  #materials: Materials | undefined;
  #number = 0;

  /** @param padding bytes that are added to each picture after its end, so that each has a real file's length */
  constructor(random: Random, { padding = 0 }: { padding?: number } = {}) {
    this.#random = random;
    this.#padding = padding;
  }

  pick<Item>(items: readonly Item[]): Item | undefined {
    return items[Math.floor(this.#random.uniform() * items.length)];
  }

  /** Makes what the first tests need; does nothing when that was done. */
  async moveIn(address: string): Promise<void> {
    if (this.#materials !== undefined) return;
    const idOf = async (path: string): Promise<string> =>
      String((await json(address, path, "POST", { name: "x" }))["id"]);
    this.#materials = {
      lampId: await idOf("/api/lamps"),
      supportId: await idOf("/api/supports"),
      coatingId: await idOf("/api/coatings"),
    };
    for (let n = 0; n < 3; n++) await this.saveTest(address);
  }

  living(): string[] {
    return [...this.#names].filter(([id, name]) => name !== null && !this.#unsure.has(id)).map(([id]) => id);
  }

  async saveTest(address: string): Promise<void> {
    const name = `test ${++this.#number}`;
    const form = new FormData();
    // Bytes after the picture's end make each file a different one.
    const padding = Buffer.alloc(this.#padding, `${this.#random.uniform()} ${this.#number} `);
    form.append("photo", new Blob([new Uint8Array(Buffer.concat([strip, Buffer.from(name), padding]))]), "strip.png");
    form.append("request", JSON.stringify({ tablet, corners, ...this.#materials, exposureSeconds: 480, name }));
    const answer = await fetch(`${address}/api/tests`, { method: "POST", body: form });
    if (answer.status !== 201) throw new Error(`POST /api/tests: ${answer.status} ${await answer.text()}`);
    const { id } = (await answer.json()) as { id: string };
    this.#names.set(id, name);
    this.counts.saved++;
  }

  async changeTest(address: string): Promise<void> {
    const id = this.pick(this.living());
    if (id === undefined) return;
    const name = `changed ${++this.#number}`;
    this.#unsure.add(id);
    await json(address, `/api/tests/${id}`, "PATCH", { name });
    this.#names.set(id, name);
    this.#unsure.delete(id);
    this.counts.changed++;
  }

  async deleteTest(address: string): Promise<void> {
    const id = this.pick(this.living());
    if (id === undefined || this.living().length < fewestLiving) return;
    this.#unsure.add(id);
    await json(address, `/api/tests/${id}`, "DELETE");
    this.#names.set(id, null);
    this.#unsure.delete(id);
    this.counts.deleted++;
  }

  async addLamp(address: string): Promise<void> {
    this.#lampIds.add(String((await json(address, "/api/lamps", "POST", { name: `lamp ${++this.#number}` }))["id"]));
    this.counts.lamps++;
  }

  /** Shares some tests and brings them in again on papers of their own: each a test more, measured anew. */
  async importTests(address: string): Promise<void> {
    const ids = this.living().slice(-mostShared).join(",");
    const file = (await (await fetch(`${address}/api/calibrations?testIds=${ids}`)).json()) as SharedFile;
    const mark = `import ${++this.#number}`;
    // Papers stay as many as they were: two tests of one picture on one paper are the same test.
    for (const [key, support] of Object.entries(file.supports)) support.name = `${mark}: ${key}`;
    for (const { request } of file.tests) request.name = mark;
    const form = new FormData();
    form.append("calibrations", new Blob([JSON.stringify(file)]), "calibrations.json");
    const answer = await fetch(`${address}/api/calibrations`, { method: "POST", body: form });
    if (answer.status !== 201) throw new Error(`POST /api/calibrations: ${answer.status} ${await answer.text()}`);
    const { tests } = (await answer.json()) as { tests: { id: string | null; outcome: string }[] };
    for (const { id, outcome } of tests) {
      if (id === null || outcome !== "added") this.troubles.push(`an imported test was "${outcome}"`);
      else this.#names.set(id, mark);
    }
    this.#imports.add(mark);
    this.counts.imported += tests.length;
  }

  /** Saves everything and restores it at once: before and after the exchange, the same is there. */
  async restoreSame(address: string): Promise<void> {
    const archive = await (await fetch(`${address}/api/backup`)).arrayBuffer();
    const answer = await fetch(`${address}/api/restore`, {
      method: "POST",
      body: archive,
      headers: { "Content-Type": "application/x-tar" },
    });
    if (!answer.ok) throw new Error(`POST /api/restore: ${answer.status} ${await answer.text()}`);
    this.counts.restored++;
  }

  async makeNegative(address: string): Promise<void> {
    const form = new FormData();
    form.append("photo", new Blob([new Uint8Array(strip)]), "strip.png");
    form.append("request", JSON.stringify({ widthMm: 100, dpi: 300, mirror: true, format: "png" }));
    const answer = await fetch(`${address}/api/negatives`, { method: "POST", body: form });
    if (answer.status >= 500) throw new Error(`POST /api/negatives: ${answer.status} ${await answer.text()}`);
    await answer.arrayBuffer();
    this.counts.negatives++;
  }

  /** What is there now, for a later look at a copy. */
  certain(): ReadonlyMap<string, string | null> {
    return new Map([...this.#names].filter(([id]) => !this.#unsure.has(id)));
  }

  /** Looks whether everything acknowledged is there and whole, and nothing that was deleted. */
  async look(address: string, dataDir: string): Promise<void> {
    for (const [id, name] of this.#names) {
      const test = await this.#lookAt(address, dataDir, id, this.#unsure.has(id) ? undefined : name);
      if (this.#unsure.delete(id)) this.#names.set(id, test?.name ?? null);
    }
    for (const id of this.#lampIds)
      if ((await fetch(`${address}/api/lamps/${id}`)).status !== 200) this.troubles.push(`the lamp ${id} is gone`);
    await this.#lookForBarePapers(address);
  }

  /** Looks at a copy for tests by their names; gives how many are there, whole. */
  async lookForAll(address: string, dataDir: string, expected: ReadonlyMap<string, string | null>): Promise<number> {
    let whole = 0;
    for (const [id, name] of expected) {
      const before = this.troubles.length;
      await this.#lookAt(address, dataDir, id, name);
      if (name !== null && this.troubles.length === before) whole++;
    }
    return whole;
  }

  /** @param name as it must be, null when it must be gone, undefined when either is right */
  async #lookAt(
    address: string,
    dataDir: string,
    id: string,
    name: string | null | undefined,
  ): Promise<{ name: string; pictureId: string } | undefined> {
    const answer = await fetch(`${address}/api/tests/${id}`);
    const text = await answer.text();
    const test = answer.status === 200 ? (JSON.parse(text) as { name: string; pictureId: string }) : undefined;
    if (name === null && test !== undefined) this.troubles.push(`${id} was deleted and is here again`);
    if (typeof name === "string" && test?.name !== name)
      this.troubles.push(`${id} should be "${name}" and is "${test?.name}"`);
    if (test !== undefined && !(await isPictureWhole(dataDir, test.pictureId)))
      this.troubles.push(`the picture of ${id} is not whole`);
    return test;
  }

  /** An import brings a paper with a test that needs it, or neither. */
  async #lookForBarePapers(address: string): Promise<void> {
    const { supports } = (await json(address, "/api/supports", "GET")) as { supports?: { id: string; name: string }[] };
    for (const { id, name } of supports ?? []) {
      if (!name.startsWith("import")) continue;
      const { tests } = (await json(address, `/api/tests?supportId=${id}`, "GET")) as { tests?: unknown[] };
      // The tests of an import that was acknowledged may have been deleted since.
      if (tests?.length === 0 && !this.#imports.has(name.split(":")[0] ?? name))
        this.troubles.push(`the paper "${name}" came in without a test`);
    }
  }
}

async function json(address: string, path: string, method: string, body?: unknown): Promise<Record<string, unknown>> {
  const answer = await fetch(address + path, {
    method,
    ...(body === undefined ? {} : { body: JSON.stringify(body), headers: { "Content-Type": "application/json" } }),
  });
  if (!answer.ok) throw new Error(`${method} ${path}: ${answer.status} ${await answer.text()}`);
  return answer.status === 204 ? {} : ((await answer.json()) as Record<string, unknown>);
}

async function isPictureWhole(dataDir: string, pictureId: string): Promise<boolean> {
  const file = join(dataDir, "pictures", pictureId.slice(0, 2), `${pictureId}.png`);
  const bytes = await readFile(file).catch(() => Buffer.alloc(0));
  return createHash("sha256").update(bytes).digest("hex") === pictureId;
}
