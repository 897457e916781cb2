import { spawnSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import request from "supertest";
import { describe, expect, it } from "vitest";
import { apiRoutesOf } from "#src/web/api/api-end.ts";
import { operations } from "#src/web/openapi/operations.ts";
import { rootDir } from "#src/settings.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";
import { testApp } from "../support/test-app.ts";

const { app } = testApp();

interface OperationDocument {
  readonly operationId: string;
  readonly parameters?: readonly { readonly name: string; readonly in: string; readonly required: boolean }[];
  readonly responses: Readonly<Record<string, unknown>>;
}
interface ApiDocument {
  readonly openapi: string;
  readonly info: { readonly title: string; readonly version: string };
  readonly paths: Readonly<Record<string, Readonly<Record<string, OperationDocument>>>>;
  readonly components: { readonly schemas: Readonly<Record<string, unknown>> };
}

async function ask(): Promise<ApiDocument> {
  return (await request(app).get("/api/openapi.json").expect(200)).body as ApiDocument;
}

describe("GET /api/openapi.json", () => {
  it("describes every route of the router, and nothing else", async () => {
    const { openapi, paths } = await ask();
    expect(openapi).toMatch(/^3\.1\.\d$/);
    const described = Object.entries(paths).flatMap(([path, methods]) =>
      Object.keys(methods).map((method) => `${method.toUpperCase()} ${path}`),
    );
    expect(described.sort()).toEqual(apiRoutesOf(app).sort());
    expect(described.length).toBeGreaterThan(30);
  });

  it("knows what every route takes and gives", () => {
    const routes = apiRoutesOf(app);
    expect(
      routes.filter((route) => operations[route] === undefined),
      "routes without an entry in src/web/openapi/rooms",
    ).toEqual([]);
    expect(
      Object.keys(operations).filter((route) => !routes.includes(route)),
      "entries without a route",
    ).toEqual([]);
  });

  it("is sound: own names for operations, parameters for each place in a path, references that lead on", async () => {
    const document = await ask();
    const all = Object.entries(document.paths).flatMap(([path, methods]) =>
      Object.entries(methods).map(([method, operation]) => ({ path, method, operation })),
    );
    expect(new Set(all.map(({ operation }) => operation.operationId)).size).toBe(all.length);
    for (const { path, operation } of all) {
      const places = [...path.matchAll(/\{(\w+)\}/g)].map((match) => match[1]);
      const given = (operation.parameters ?? []).filter((parameter) => parameter.in === "path");
      expect(given.map((parameter) => parameter.name)).toEqual(places);
      expect(given.every((parameter) => parameter.required)).toBe(true);
      expect(Object.keys(operation.responses).length).toBeGreaterThanOrEqual(2);
    }
    const references = [...JSON.stringify(document).matchAll(/"\$ref":"#\/components\/schemas\/(\w+)"/g)].map(
      (match) => match[1] ?? "",
    );
    expect(references.filter((name) => document.components.schemas[name] === undefined)).toEqual([]);
  });

  it("passes a general linter of OpenAPI documents", async () => {
    const folder = temporaryFolder();
    writeFileSync(join(folder, "openapi.json"), JSON.stringify(await ask()));
    // One program for one studio: nobody signs in, and the licence stands in the file LICENSE.
    writeFileSync(
      join(folder, "redocly.yaml"),
      "extends: [recommended]\nrules:\n  security-defined: off\n  info-license: off\n  no-server-example.com: off\n",
    );
    const { stdout, stderr } = spawnSync(
      process.execPath,
      [join(rootDir, "node_modules/@redocly/cli/bin/cli.js"), "lint", "openapi.json", "--format=json"],
      {
        cwd: folder,
        encoding: "utf8",
        env: { ...process.env, REDOCLY_TELEMETRY: "off", REDOCLY_SUPPRESS_UPDATE_NOTICE: "true" },
      },
    );
    const report = /\{[\s\S]*\}/.exec(stdout)?.[0];
    expect(report, stderr).toBeDefined();
    const { problems } = JSON.parse(report ?? "") as {
      problems: { message: string; ruleId: string; location: unknown }[];
    };
    expect(
      problems.map(({ ruleId, message, location }) => `${ruleId}: ${message} ${JSON.stringify(location)}`),
    ).toEqual([]);
  }, 60_000);

  it("shows the request of a reading with every kind of tablet", async () => {
    const { paths } = await ask();
    const text = JSON.stringify(paths["/api/readings"]?.["post"]);
    for (const kind of ["transmission", "timed", "levels", "sheet"]) expect(text).toContain(`"const":"${kind}"`);
  });
});
