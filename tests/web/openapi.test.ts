import request from "supertest";
import { describe, expect, it } from "vitest";
import { answerSchemas, type AnswerName } from "#src/web/openapi/answers.ts";
import { apiRoutesOf } from "#src/web/api/api-end.ts";
import { operations } from "#src/web/openapi/operations.ts";
import { curveImaging, picturedCurve } from "../support/curve-imaging.ts";
import { saveSampleMaterials } from "../support/sample-records.ts";
import { testApp } from "../support/test-app.ts";

const { app, store } = testApp({ imaging: curveImaging() });

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
      "routes without an entry in src/web/openapi/operations.ts",
    ).toEqual([]);
    expect(
      Object.keys(operations).filter((route) => !routes.includes(route)),
      "entries without a route",
    ).toEqual([]);
  });

  it("is sound: own names for operations, parameters for every place in a path, references that lead somewhere", async () => {
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

  it("shows the request of a reading with every kind of tablet", async () => {
    const { paths } = await ask();
    const text = JSON.stringify(paths["/api/readings"]?.["post"]);
    for (const kind of ["transmission", "timed", "levels", "sheet"]) expect(text).toContain(`"const":"${kind}"`);
  });
});

describe("real answers", () => {
  const expectShape = (name: AnswerName, body: unknown): void => {
    const result = answerSchemas[name].safeParse(body);
    expect(result.error?.issues ?? []).toEqual([]);
  };

  it("have the shape that the document gives them", async () => {
    const materials = saveSampleMaterials(store);
    const send = (path: string) =>
      request(app)
        .post(path)
        .attach("photo", picturedCurve({ middle: 2, net: 1.4, exposureSeconds: 900 }), "a.jpg")
        .field(
          "request",
          JSON.stringify({
            tablet: { kind: "transmission", steps: 21, increment: 0.15 },
            ...materials,
            exposureSeconds: 900,
          }),
        );
    expectShape("Health", (await request(app).get("/api/health")).body);
    expectShape("Reading", (await send("/api/readings")).body);
    const first = (await send("/api/tests").expect(201)).body;
    const second = (await send("/api/tests").expect(201)).body;
    expectShape("Test", first);
    for (const summary of (await request(app).get("/api/tests")).body) expectShape("TestSummary", summary);
    for (const [path, name] of [
      ["lamps", "Lamp"],
      ["supports", "Support"],
      ["coatings", "Coating"],
      ["films", "Film"],
    ] as const) {
      for (const material of (await request(app).get(`/api/${path}`)).body) expectShape(name, material);
    }
    expectShape("Exposure", (await request(app).get("/api/exposures").query(materials)).body);
    expectShape(
      "Comparison",
      (
        await request(app)
          .post("/api/comparisons")
          .send({ testIds: [first.id, second.id] })
      ).body,
    );
    expectShape("Problem", (await request(app).get("/api/nothing")).body);
  });
});
