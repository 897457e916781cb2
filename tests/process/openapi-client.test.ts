// A client written by a general generator from our OpenAPI document, as a stranger would make one: it passes the
// compiler's strictest checks, and a program of its own makes materials and a test with it and reads what came of it.
import { spawn } from "node:child_process";
import { once } from "node:events";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { createClient } from "@hey-api/openapi-ts";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { rootDir } from "#src/settings.ts";
import { serveApp, type TestServer } from "../browser/serve.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";

const folder = temporaryFolder();
const picture = join(rootDir, "samples", "pictures", "scan-on-paper.jpg");

/** What a stranger writes: every name and type in it is the generator's. */
const program = `
import { readFile } from "node:fs/promises";
import { client } from "./client/client.gen.ts";
import { getTestsId, postCoatings, postLamps, postSupports, postTests } from "./client/sdk.gen.ts";

const [address = "", picture = ""] = process.argv.slice(2);
client.setConfig({ baseUrl: address });

const lamp = await postLamps({ body: { name: "Box of the client", kind: "tubes" }, throwOnError: true });
const support = await postSupports({ body: { name: "Rag" }, throwOnError: true });
const coating = await postCoatings({ body: { name: "Two-part" }, throwOnError: true });
const made = await postTests({
  body: {
    photo: [new Blob([await readFile(picture)], { type: "image/jpeg" })],
    request: {
      tablet: { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 },
      lampId: lamp.data.id,
      supportId: support.data.id,
      coatingId: coating.data.id,
      exposureSeconds: 1800,
    },
  },
  throwOnError: true,
});
const { data: test } = await getTestsId({ path: { id: made.data.id }, throwOnError: true });
const refused = await postLamps({ body: { name: "" } });
console.log(JSON.stringify({
  id: made.data.id,
  found: test.reading.location.method,
  reds: test.reading.steps.map((step) => step.red),
  seconds: test.exposure.seconds,
  verdict: test.exposure.verdict,
  refusal: refused.error?.detail ?? null,
}));
`;

const compiler = {
  target: "es2023",
  module: "esnext",
  moduleResolution: "bundler",
  lib: ["es2023", "dom", "dom.iterable"],
  types: ["node"],
  typeRoots: [join(rootDir, "node_modules", "@types")],
  strict: true,
  noEmit: true,
  allowImportingTsExtensions: true,
  skipLibCheck: true,
};

async function run(words: readonly string[]): Promise<{ code: number; said: string }> {
  const child = spawn(process.execPath, [...words], { cwd: rootDir });
  let said = "";
  for (const stream of [child.stdout, child.stderr]) stream.setEncoding("utf8").on("data", (text) => (said += text));
  const [code] = (await once(child, "exit")) as [number];
  return { code, said };
}

describe("a client made of the OpenAPI document", { timeout: 180_000 }, () => {
  let server: TestServer;

  beforeAll(async () => {
    server = await serveApp(join(folder, "data"));
    const document = await (await fetch(`${server.address}/api/openapi.json`)).text();
    writeFileSync(join(folder, "openapi.json"), document);
    writeFileSync(join(folder, "package.json"), JSON.stringify({ type: "module" }));
    writeFileSync(join(folder, "tsconfig.json"), JSON.stringify({ compilerOptions: compiler, include: ["**/*.ts"] }));
    writeFileSync(join(folder, "program.ts"), program);
    await createClient({
      input: join(folder, "openapi.json"),
      output: join(folder, "client"),
      plugins: ["@hey-api/client-fetch", "@hey-api/typescript", "@hey-api/sdk"],
      logs: { level: "silent" },
    });
  }, 180_000);

  afterAll(async () => {
    await server?.close();
  });

  it("passes the compiler's strict checks, with a program that uses it", async () => {
    const { code, said } = await run([join(rootDir, "node_modules", "typescript", "bin", "tsc"), "-p", folder]);
    expect(said).toBe("");
    expect(code).toBe(0);
  });

  it("makes materials and a test with a picture, reads the test, and is refused in plain words", async () => {
    const { code, said } = await run(["--import", "tsx", join(folder, "program.ts"), server.address, picture]);
    expect(code, said).toBe(0);
    const told = JSON.parse(said) as Record<string, unknown>;
    const kept = server.store.tests.get(String(told["id"]));
    expect(told).toEqual({
      id: kept.id,
      found: "found",
      reds: kept.reading.steps.map(({ red }) => red),
      seconds: kept.exposure.seconds,
      verdict: kept.exposure.verdict,
      refusal: expect.stringContaining("name"),
    });
    expect(kept.reading.steps).toHaveLength(21);
    expect(kept.exposure.seconds).toBeGreaterThan(0);
  });
});
