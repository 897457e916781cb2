// Sends mutated requests to every route and form, and malformed pictures, and looks for answers that must not be: a
// mistake of ours (500), silence, a path or a stack in the answer, memory without end.
//   npm run test:fuzz -- --requests 25000 --pictures 300 --seed 7
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createApp } from "#src/app.ts";
import { readSettings, rootDir } from "#src/settings.ts";
import { knownRoutes } from "#src/web/api/api-end.ts";
import { openStore } from "#src/store/store.ts";
import { fakeImaging } from "../support/fake-imaging.ts";
import { formOf, multipartOf, strip } from "./odd-bodies.ts";
import { pictureBombs } from "./picture-bombs.ts";
import { oddTexts, oddValues } from "./odd-values.ts";
import { numbersFrom, startServerProcess } from "./server-process.ts";

const { requests, pictures, seed } = numbersFrom({ requests: 600, pictures: 20, seed: 20260501 });
const odd = oddValues(seed);
const { whole, pick, mutated } = odd;
const mostSeconds = 20;
const mostMemoryMb = 1200;
const fewestPicturesWithBombs = 60;

const ids: Record<string, string> = {};

/** A well-formed request of each kind, of which one part is then made odd. */
function soundBody(path: string): Record<string, unknown> {
  if (path.includes("/tests") || path.includes("/prints"))
    return { ...ids, exposureSeconds: 300, tablet: { kind: "transmission", steps: 21, increment: 0.15 }, name: "x" };
  if (path.includes("/sun")) return { latitude: 52, longitude: 13, startAt: "2026-06-01T12:00:00+02:00", dose: 500 };
  if (path.includes("/comparisons")) return { testIds: [ids["testId"], "other"] };
  return { name: "x", kind: "other" };
}

interface Outcome {
  readonly what: string;
  readonly status: number;
  readonly seconds: number;
  readonly text: string;
}

const secrets = new RegExp(`${rootDir}|node_modules|\\bat \\S+ \\(|\\.mjs:\\d+|SQLITE_|SqliteError`);

async function send(
  address: string,
  method: string,
  path: string,
  body: string | FormData | undefined,
  headers: Record<string, string>,
): Promise<Outcome> {
  const begun = performance.now();
  const what = `${method} ${path} ${typeof body === "string" ? body.slice(0, 300) : ""}`;
  try {
    const answer = await fetch(address + path, {
      method,
      headers,
      redirect: "manual",
      signal: AbortSignal.timeout(60_000),
      ...(body === undefined ? {} : { body }),
    });
    const isText = /text|json|xml/.test(answer.headers.get("content-type") ?? "");
    const text = isText ? await answer.text() : (await answer.arrayBuffer(), "");
    return { what, status: answer.status, seconds: (performance.now() - begun) / 1000, text };
  } catch (error) {
    return { what: `${what} (${String(error)})`, status: 0, seconds: (performance.now() - begun) / 1000, text: "" };
  }
}

/** Every route of the app, API and pages. */
function allRoutes(): { method: string; path: string }[] {
  const folder = mkdtempSync(join(tmpdir(), "fuzz-routes-"));
  const store = openStore(folder);
  const app = createApp({ settings: { ...readSettings({}), dataDir: folder }, store, imaging: fakeImaging() });
  const routes = knownRoutes(app).filter(({ path }) => typeof path === "string");
  store.close();
  rmSync(folder, { recursive: true, force: true });
  // The stream of changes never ends by itself; tests/web/live tries it.
  return routes
    .filter(({ path }) => path !== "/live")
    .filter(({ path }) => !/\/api\/(backup|samples)|^\/demo/.test(path) || whole(20) === 0);
}

const dataDir = mkdtempSync(join(tmpdir(), "fuzz-data-"));
const temporaryDir = mkdtempSync(join(tmpdir(), "fuzz-tmp-"));
const troubles: string[] = [];
let slowest = 0;
const byStatus = new Map<number, number>();
try {
  const server = await startServerProcess(dataDir, temporaryDir);
  const { address } = server;
  const make = async (path: string, body: unknown): Promise<string> =>
    (
      (await (
        await fetch(address + path, {
          method: "POST",
          body: JSON.stringify(body),
          headers: { "Content-Type": "application/json" },
        })
      ).json()) as { id: string }
    ).id;
  async function renewIds(): Promise<void> {
    for (const [field, path] of [
      ["lampId", "lamps"],
      ["supportId", "supports"],
      ["coatingId", "coatings"],
      ["filmId", "films"],
    ] as const)
      ids[field] = await make(`/api/${path}`, { name: "x" });
    const form = new FormData();
    form.append("photo", new Blob([new Uint8Array(strip)]), "a.png");
    const { filmId: _film, testId: _test, ...materials } = ids;
    form.append(
      "request",
      JSON.stringify({
        tablet: { kind: "transmission", steps: 21, increment: 0.15 },
        corners: [
          [30, 40],
          [270, 40],
          [270, 80],
          [30, 80],
        ],
        exposureSeconds: 300,
        ...materials,
      }),
    );
    const saved = (await (await fetch(`${address}/api/tests`, { method: "POST", body: form })).json()) as {
      id: string;
    };
    ids["testId"] = saved.id;
  }
  const routes = allRoutes();
  const judge = ({ what, status, seconds, text }: Outcome): void => {
    byStatus.set(status, (byStatus.get(status) ?? 0) + 1);
    slowest = Math.max(slowest, seconds);
    if (status === 500 || status === 0) troubles.push(`${status}: ${what}`);
    if (seconds > mostSeconds) troubles.push(`${seconds.toFixed(1)} s: ${what}`);
    if (secrets.test(text)) troubles.push(`tells a path or a stack: ${what}: ${secrets.exec(text)?.[0]}`);
  };
  for (let n = 0; n < requests; n++) {
    if (n % 200 === 0) await renewIds();
    const { method, path } = pick(routes);
    const filled = path
      .replace(/:id|:testId/g, () =>
        encodeURIComponent(whole(3) === 0 ? pick(oddTexts).replace(/\uD800/g, "") : (pick(Object.values(ids)) ?? "x")),
      )
      .replace(/:kind/g, () => pick(["lamps", "supports", "coatings", "films", "other"]))
      .replace(/:\w+/g, () => pick(["0", "start", "end", "x", "-1"]))
      .replace(/[*{}]/g, "");
    const query =
      whole(2) === 0
        ? `?${formOf(mutated({}))
            .toString()
            .replace(/%ED%A0%80/g, "")}`
        : "";
    const body = mutated(soundBody(path));
    const headers: Record<string, string> = { Accept: pick(["text/html", "application/json", "*/*"]) };
    if (method === "GET" || method === "HEAD" || method === "DELETE")
      judge(await send(address, method, filled + query, undefined, headers));
    else {
      const kind = whole(3);
      if (kind === 0)
        judge(
          await send(address, method, filled + query, JSON.stringify(body), {
            ...headers,
            "Content-Type": "application/json",
          }),
        );
      else if (kind === 1)
        judge(
          await send(address, method, filled + query, formOf(body).toString(), {
            ...headers,
            "Content-Type": "application/x-www-form-urlencoded",
          }),
        );
      else judge(await send(address, method, filled + query, multipartOf(odd, body, whole(2) === 0), headers));
    }
  }
  for (let n = 0; n < pictures; n++)
    judge(
      await send(
        address,
        "POST",
        pick(["/api/readings", "/pictures", "/api/evenness", "/api/negatives"]),
        multipartOf(odd, soundBody("/tests"), true),
        {},
      ),
    );
  // A short run leaves them out: each takes seconds, and its making too.
  const bombs = pictures < fewestPicturesWithBombs ? [] : await pictureBombs();
  for (const bomb of bombs)
    for (const path of ["/api/readings", "/pictures", "/api/negatives"]) {
      const form = new FormData();
      form.append("photo", new Blob([new Uint8Array(bomb)]), "a.png");
      const wish = path === "/api/negatives" ? { widthMm: 100, dpi: 300, format: "png" } : soundBody("/tests");
      form.append("request", JSON.stringify(wish));
      judge(await send(address, "POST", path, form, {}));
    }
  const health = await send(address, "GET", "/api/health", undefined, {});
  if (health.status !== 200) troubles.push("the server does not answer any more");
  const { most } = server.memoryMb();
  if (most > mostMemoryMb) troubles.push(`${most.toFixed(0)} MB of memory`);
  for (const trouble of troubles.slice(0, 30)) console.log(trouble);
  if (troubles.length > 0) console.log(server.errors().slice(0, 6000));
  const statuses = [...byStatus].sort(([one], [other]) => one - other).map(([status, count]) => `${status}: ${count}`);
  console.log(
    `fuzz: seed ${seed}, ${requests} requests and ${pictures} pictures (${statuses.join(", ")}), ` +
      `${bombs.length} bombs; slowest ` +
      `${slowest.toFixed(1)} s, at most ${most.toFixed(0)} MB, ${troubles.length} troubles`,
  );
  await server.end("SIGTERM");
} finally {
  rmSync(dataDir, { recursive: true, force: true });
  rmSync(temporaryDir, { recursive: true, force: true });
}
process.exit(troubles.length === 0 ? 0 : 1);
