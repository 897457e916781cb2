// The end of the API: addresses that no route took, and methods that an address does not know.
import type { ErrorRequestHandler, Express, RequestHandler } from "express";
import { InputError } from "#shared/errors.ts";
import { answerProblem } from "#src/web/problem.ts";

interface RouteLayer {
  readonly route?: { readonly path: string | readonly string[]; readonly methods: Readonly<Record<string, boolean>> };
  readonly handle: { readonly stack?: readonly RouteLayer[] };
  match(path: string): boolean;
}

export interface KnownRoute {
  /** Upper case. */
  readonly method: string;
  /** As declared, such as /api/tests/:id. */
  readonly path: string;
}

/** Every route of an app, in order of declaration; routers are mounted at the root. */
export function knownRoutes(app: Express): KnownRoute[] {
  return routeLayers(app).flatMap(({ route }) =>
    route === undefined
      ? []
      : [route.path].flat().flatMap((path) =>
          Object.keys(route.methods)
            .filter((method) => route.methods[method])
            .map((method) => ({ method: method.toUpperCase(), path })),
        ),
  );
}

function routeLayers(app: Express): RouteLayer[] {
  const flatten = (layers: readonly RouteLayer[]): RouteLayer[] =>
    layers.flatMap((layer) => (layer.route !== undefined ? [layer] : flatten(layer.handle.stack ?? [])));
  return flatten((app.router as unknown as { stack: readonly RouteLayer[] }).stack);
}

/** "GET /api/tests/{id}" and so on, in order of declaration. */
export function apiRoutesOf(app: Express): string[] {
  const routes = knownRoutes(app).filter(({ path }) => path.startsWith("/api/"));
  return [...new Set(routes.map(({ method, path }) => `${method} ${path.replace(/:(\w+)/g, "{$1}")}`))];
}

/** Answers 405 with the methods that the address knows, or 404. */
export function apiEnd(app: Express): RequestHandler {
  return (request, response, next) => {
    if (!isApiPath(request.path)) return next();
    const methods = new Set<string>();
    for (const layer of routeLayers(app)) {
      if (!layer.match(request.path) || layer.route === undefined) continue;
      for (const method of Object.keys(layer.route.methods))
        if (layer.route.methods[method]) methods.add(method.toUpperCase());
    }
    if (methods.size === 0)
      throw new InputError(
        "not-found",
        `There is nothing at ${request.path}. GET /api/openapi.json lists every route.`,
      );
    if (methods.has("GET")) methods.add("HEAD");
    response.set("Allow", [...methods].join(", "));
    throw new InputError(
      "method-not-allowed",
      `${request.path} does not take ${request.method}; it takes ${[...methods].join(", ")}.`,
    );
  };
}

/** Trouble inside the API is always answered as a problem document, whatever the asker accepts. */
export const answerProblemInApi: ErrorRequestHandler = (error, request, response, next) => {
  if (isApiPath(request.path)) void answerProblem(error, request, response, next);
  else next(error);
};

function isApiPath(path: string): boolean {
  return path === "/api" || path.startsWith("/api/");
}
