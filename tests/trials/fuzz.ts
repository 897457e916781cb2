// Sends mutated requests to every route and form, and malformed pictures, and looks for answers that must not be: a
// mistake of ours (500), silence, a path or a stack in the answer, memory without end.
//   npm run test:fuzz -- --requests 25000 --pictures 300 --seed 7
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createApp } from "#src/app.ts";
import { readSettings, rootDir } from "#src/settings.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import { knownRoutes } from "#src/web/api/api-end.ts";
import { openStore } from "#src/store/store.ts";
import { fakeImaging } from "../support/fake-imaging.ts";
import { blueprintDensities, stripFile } from "../support/strip-picture.ts";
import { numbersFrom, startServerProcess } from "./server-process.ts";

const { requests, pictures, seed } = numbersFrom({ requests: 600, pictures: 20, seed: 20260501 });
const random = seededRandom(seed);
const whole = (below: number): number => Math.floor(random.uniform() * below);
const pick = <Item>(items: readonly Item[]): Item => items[whole(items.length)]!;
const mostSeconds = 20;
const mostMemoryMb = 1200;

const oddTexts = [
  "",
  " ",
  "\u0000",
  "\u202Eabc",
  "\uD800",
  "<script>alert(1)</script>",
  "'; DROP TABLE tests; --",
  "../../etc/passwd",
  "=1+1",
  "%00",
  "%E0%A4%A",
  "{}",
  "[]",
  "null",
  "undefined",
  "NaN",
  "1e999",
  "-1",
  "0",
  "𝟘",
  "x".repeat(5000),
  "__proto__",
  "constructor",
  "2026-13-45T99:99:99Z",
  "2026-05-01T14:30:00+02:00",
  "9999-12-31T23:59:59Z",
  "0001-01-01T00:00:00Z",
  "ℵ".repeat(200),
  "true",
] as const;
const oddNumbers = [
  0,
  -0,
  1,
  -1,
  0.5,
  1e-300,
  1e300,
  Number.MAX_SAFE_INTEGER,
  -Number.MAX_SAFE_INTEGER,
  5e-324,
  255,
  256,
  65_536,
  1e7,
  90,
  180,
  360,
  12.5,
] as const;

/** Field names that the program knows, so that a mutation gets past the door more often. */
const fieldNames = [
  "name",
  "notes",
  "kind",
  "lampId",
  "supportId",
  "coatingId",
  "filmId",
  "exposureSeconds",
  "tablet",
  "seconds",
  "steps",
  "increment",
  "firstDensity",
  "densities",
  "levels",
  "corners",
  "channel",
  "targetShare",
  "madeAt",
  "sun",
  "latitude",
  "longitude",
  "startAt",
  "startedAt",
  "tiltDegrees",
  "facingDegrees",
  "dose",
  "anchorTestId",
  "widthMm",
  "heightMm",
  "distanceMm",
  "dpi",
  "mirror",
  "format",
  "testId",
  "testIds",
  "points",
  "level",
  "percent",
  "recipe",
  "lines",
  "amount",
  "unit",
  "volumeMl",
  "procedure",
  "version",
  "archived",
  "baseDensity",
  "maxDensity",
  "outcome",
  "areaCm2",
  "limit",
  "after",
  "search",
  "share",
  "target",
  "request",
  "photo",
  "back",
  "theme",
] as const;

function oddValue(depth = 0): unknown {
  const kind = whole(depth > 3 ? 5 : 8);
  if (kind < 2) return pick(oddTexts);
  if (kind < 4) return pick(oddNumbers);
  if (kind === 4) return pick([null, true, false]);
  if (kind === 5) return Array.from({ length: whole(6) }, () => oddValue(depth + 1));
  return Object.fromEntries(Array.from({ length: whole(6) }, () => [pick(fieldNames), oddValue(depth + 1)]));
}

const ids: Record<string, string> = {};

/** A well-formed request of each kind, of which one part is then made odd. */
function soundBody(path: string): Record<string, unknown> {
  if (path.includes("/tests") || path.includes("/prints"))
    return { ...ids, exposureSeconds: 300, tablet: { kind: "transmission", steps: 21, increment: 0.15 }, name: "x" };
  if (path.includes("/sun")) return { latitude: 52, longitude: 13, startAt: "2026-06-01T12:00:00+02:00", dose: 500 };
  if (path.includes("/comparisons")) return { testIds: [ids["testId"], "other"] };
  return { name: "x", kind: "other" };
}

function mutated(body: Record<string, unknown>): Record<string, unknown> {
  const copy = { ...body };
  for (let change = 0; change < 1 + whole(3); change++) copy[pick([...Object.keys(body), ...fieldNames])] = oddValue();
  return copy;
}

const strip = await stripFile({
  width: 300,
  height: 120,
  corners: [
    [30, 40],
    [270, 40],
    [270, 80],
    [30, 80],
  ],
  densities: blueprintDensities,
});

/** A picture with some bytes changed, cut, doubled or made up. */
function oddPicture(): Buffer {
  const bytes = Buffer.from(strip);
  switch (whole(5)) {
    case 0:
      return bytes.subarray(0, whole(bytes.byteLength));
    case 1:
      for (let n = 0; n < 1 + whole(40); n++) bytes[whole(bytes.byteLength)] = whole(256);
      return bytes;
    case 2:
      // Sizes in the header that the pixels do not bear out.
      bytes.writeUInt32BE(pick([0, 1, 70_000, 0x7fffffff, 0xffffffff, 11_000]), pick([16, 20]));
      return bytes;
    case 3:
      return Buffer.concat([bytes.subarray(0, 60), bytes.subarray(whole(60))]);
    default:
      return Buffer.from(Array.from({ length: whole(2000) }, () => whole(256)));
  }
}

function formOf(body: Record<string, unknown>): URLSearchParams {
  return new URLSearchParams(
    Object.entries(body).map(([name, value]): [string, string] => [
      name,
      typeof value === "string" ? value : JSON.stringify(value),
    ]),
  );
}

function multipartOf(body: Record<string, unknown>, isPicture: boolean): FormData {
  const form = new FormData();
  if (whole(8) > 0)
    form.append(
      pick(["photo", "photo", "photo", "evenLight", "backup", "calibrations"]),
      new Blob([isPicture ? new Uint8Array(oddPicture()) : new Uint8Array(strip)]),
      pick(["a.png", "../a", "", "\u202E.jpg"]),
    );
  form.append("request", whole(10) === 0 ? String(pick(oddTexts)) : JSON.stringify(body));
  for (let n = 0; n < whole(4); n++)
    form.append(pick([...fieldNames, "request[x]", "a[b][c]"]), String(pick(oddTexts)));
  return form;
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
  return routes.filter(({ path }) => !/\/api\/(backup|samples)|^\/demo/.test(path) || whole(20) === 0);
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
      else judge(await send(address, method, filled + query, multipartOf(body, whole(2) === 0), headers));
    }
  }
  for (let n = 0; n < pictures; n++)
    judge(
      await send(
        address,
        "POST",
        pick(["/api/readings", "/pictures", "/api/evenness", "/api/negatives"]),
        multipartOf(soundBody("/tests"), true),
        {},
      ),
    );
  const health = await send(address, "GET", "/api/health", undefined, {});
  if (health.status !== 200) troubles.push("the server does not answer any more");
  const { most } = server.memoryMb();
  if (most > mostMemoryMb) troubles.push(`${most.toFixed(0)} MB of memory`);
  for (const trouble of troubles.slice(0, 30)) console.log(trouble);
  if (troubles.length > 0) console.log(server.errors().slice(0, 6000));
  const statuses = [...byStatus].sort(([one], [other]) => one - other).map(([status, count]) => `${status}: ${count}`);
  console.log(
    `fuzz: seed ${seed}, ${requests} requests and ${pictures} pictures (${statuses.join(", ")}); slowest ` +
      `${slowest.toFixed(1)} s, at most ${most.toFixed(0)} MB, ${troubles.length} troubles`,
  );
  await server.end("SIGTERM");
} finally {
  rmSync(dataDir, { recursive: true, force: true });
  rmSync(temporaryDir, { recursive: true, force: true });
}
process.exit(troubles.length === 0 ? 0 : 1);
