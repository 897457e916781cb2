// The OpenAPI 3.1 document, drawn from the same schemas that validate.
import { STATUS_CODES } from "node:http";
import { z } from "zod";
import { answerSchemas, type AnswerName } from "./answers.ts";
import type { Operation } from "./operation.ts";

type Json = Record<string, unknown>;

/**
 * The document of the given routes.
 * @param routes method and path as "GET /api/tests/{id}"
 */
export function openApiDocument({
  routes,
  operations,
  version,
}: {
  routes: readonly string[];
  operations: Readonly<Record<string, Operation>>;
  version: string;
}): Json {
  const paths: Record<string, Json> = {};
  for (const route of routes) {
    const [method = "", path = ""] = route.split(" ");
    paths[path] = {
      ...paths[path],
      [method.toLowerCase()]: operationDocument(route, operations[route] ?? { summary: path }),
    };
  }
  return {
    openapi: "3.1.0",
    info: {
      title: "Wedgewright",
      version,
      description:
        "Turns a photo of a printed step tablet into an exposure time. Units are in the names; angles in degrees, " +
        "azimuth clockwise from true north; instants in ISO 8601 with offset.",
    },
    servers: [{ url: "/", description: "This server" }],
    paths,
    components: {
      schemas: Object.fromEntries(
        Object.entries(answerSchemas).map(([name, schema]) => [name, jsonSchema(schema, "output")]),
      ),
    },
  };
}

function operationDocument(route: string, operation: Operation): Json {
  const [, path = ""] = route.split(" ");
  const inPath = [...path.matchAll(/\{(\w+)\}/g)].map(([, name]) => ({
    name,
    in: "path",
    required: true,
    schema: { type: "string" },
  }));
  return {
    operationId: operationId(route),
    summary: operation.summary,
    ...(inPath.length + queryParameters(operation).length === 0
      ? {}
      : { parameters: [...inPath, ...queryParameters(operation)] }),
    ...requestBody(operation),
    responses: {
      ...success(operation),
      ...Object.fromEntries(
        [...new Set([400, ...(operation.troubles ?? [])])].map((status) => [String(status), trouble(status)]),
      ),
    },
  };
}

/** "GET /api/tests/{id}" becomes get-tests-id. */
function operationId(route: string): string {
  return route
    .replace("/api/", "")
    .replace(/[^A-Za-z]+/g, "-")
    .replace(/-$/, "")
    .toLowerCase();
}

function queryParameters({ query }: Operation): Json[] {
  if (query === undefined) return [];
  const schema = jsonSchema(query, "input");
  const required = new Set((schema["required"] as string[] | undefined) ?? []);
  return Object.entries((schema["properties"] ?? {}) as Record<string, Json>).map(([name, property]) => ({
    name,
    in: "query",
    required: required.has(name),
    schema: property,
  }));
}

function requestBody({ body, form, binary }: Operation): Json {
  if (body !== undefined)
    return { requestBody: { required: true, content: { "application/json": { schema: jsonSchema(body, "input") } } } };
  if (binary !== undefined) return { requestBody: { required: true, content: { [binary]: { schema: {} } } } };
  if (form === undefined) return {};
  const file = { type: "string", contentMediaType: "application/octet-stream" };
  const properties: Record<string, Json> = Object.fromEntries(
    form.files.map((part) => [
      part.name,
      part.isRepeated === true ? { type: "array", items: file, minItems: 1 } : file,
    ]),
  );
  if (form.request !== undefined) properties["request"] = jsonSchema(form.request, "input");
  const required = [
    ...form.files.filter((part) => part.isRequired).map((part) => part.name),
    ...(form.request === undefined ? [] : ["request"]),
  ];
  const encoding = form.request === undefined ? {} : { encoding: { request: { contentType: "application/json" } } };
  return {
    requestBody: {
      required: true,
      content: { "multipart/form-data": { schema: { type: "object", properties, required }, ...encoding } },
    },
  };
}

function success({ status = 200, gives }: Operation): Json {
  const description = STATUS_CODES[status] ?? "Success";
  if (status === 204 || gives === undefined) return { [status]: { description } };
  if (typeof gives === "object" && "files" in gives)
    return { [status]: { description, content: Object.fromEntries(gives.files.map((mediaType) => [mediaType, {}])) } };
  return { [status]: { description, content: { "application/json": { schema: answerReference(gives) } } } };
}

function answerReference(gives: AnswerName | readonly [AnswerName]): Json {
  const to = (name: AnswerName): Json => ({ $ref: `#/components/schemas/${name}` });
  return typeof gives === "string" ? to(gives) : { type: "array", items: to(gives[0]) };
}

function trouble(status: number): Json {
  return {
    description: STATUS_CODES[status] ?? "Trouble",
    content: { "application/problem+json": { schema: { $ref: "#/components/schemas/Problem" } } },
  };
}

function jsonSchema(schema: z.ZodType, io: "input" | "output"): Json {
  const { $schema: _dialect, ...rest } = z.toJSONSchema(schema, { io, unrepresentable: "any" }) as Json;
  return rest;
}
