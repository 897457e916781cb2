// Every text of every record holds markup, a formula, a break-out of a file's own quotes or characters that nobody
// sees;
// it must be inert on every page and in every file.
import { execFileSync, spawnSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import request, { type Response } from "supertest";
import { beforeAll, describe, expect, it } from "vitest";
import sharp from "sharp";
import { csvText } from "#src/output/csv.ts";
import { lineSchema } from "#shared/schema/plain-text.ts";
import { makePreview } from "#src/imaging/decode/preview.ts";
import { knownRoutes } from "#src/web/api/api-end.ts";
import { fakeImaging } from "../support/fake-imaging.ts";
import { levelsReading } from "../support/studios/levels-test.ts";
import { usualPrint } from "../support/pictures/printed-strip.ts";
import { sampleTestRecord } from "../support/studios/sample-records.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";
import { testApp } from "../support/test-app.ts";

/** Raw, this would be an element of its own; escaped, it is text. */
const mark = "x-hostile";
const texts: Readonly<Record<string, string>> = {
  markup: `<${mark} onclick=a()>`,
  "a break-out of double quotes": `"><${mark}>`,
  "a break-out of single quotes": `'><${mark}>`,
  "the end of a script": `</script><${mark}>`,
  "the end of a text field": `</textarea></title><${mark}>`,
  "a template": `<%= 1 %>\${1}{{1}}<${mark}>`,
  "a formula": `=cmd|'/C calc'!A0`,
  "a break-out of a PDF text": `x) /AA << /O << /S /JavaScript /JS (app.alert) >> >> (`,
  "a link that runs": `javascript:a()//<${mark}>`,
  "unseen characters": "a\u0000b\u001b[31m\u202Ec\r\nSet-Cookie: a=b",
};

/** Control characters but line ends and tabs, and what turns text round. */
const unseen = /(?![\t\n\r])[\p{Cc}\u202E]/u;

interface Studio {
  readonly app: ReturnType<typeof testApp>["app"];
  readonly store: ReturnType<typeof testApp>["store"];
  readonly ids: Readonly<Record<string, string>>;
}

async function studioFullOf(text: string): Promise<Studio> {
  const { app, store } = testApp({ imaging: fakeImaging({ preview: (job) => makePreview(job as never) }) });
  const make = async (path: string, body: object): Promise<string> => {
    const answer = await request(app).post(path).send(body);
    expect(`${path} ${answer.status} ${answer.status === 201 ? "" : answer.text}`).toBe(`${path} 201 `);
    return (answer.body as { id: string }).id;
  };
  const both = { name: text, notes: text };
  const lines = [{ name: text, amount: 1, unit: "g" }];
  const steps = [{ name: text, kind: "bath", seconds: 60, note: text }];
  const stockId = await make("/api/stocks", { ...both, madeOn: "2026-05-01", grade: text, lot: text });
  const materials = {
    lampId: await make("/api/lamps", { ...both, kind: "tubes" }),
    supportId: await make("/api/supports", both),
    coatingId: await make("/api/coatings", {
      ...both,
      mixedAt: text.slice(0, 40),
      grade: text,
      lot: text,
      stockIds: [stockId],
      recipe: { volumeMl: 10, lines },
      procedure: steps,
    }),
    filmId: await make("/api/films", { ...both, device: text, baseDensity: 0.1 }),
  };
  const tabletId = await make("/api/tablets", {
    ...both,
    densities: [0, 1, 2],
    calibratedAt: text.slice(0, 40),
    calibratedLampId: text,
  });
  const printId = await make("/api/prints", { ...materials, ...both, exposureSeconds: 600, steps });
  const bytes = await sharp({ create: { width: 60, height: 20, channels: 3, background: "#8899aa" } })
    .jpeg()
    .toBuffer();
  const picture = await store.pictures.write(bytes);
  const levels = Array.from({ length: 32 }, (_, index) => (255 * index) / 31);
  const [testId = "", levelsId = ""] = store.transaction(() => {
    const pictureId = store.pictures.keep(picture);
    const record = sampleTestRecord(materials, pictureId, { name: lineSchema().parse(text), notes: text });
    const request = { ...record.request, tablet: { kind: "levels" as const, levels } };
    const toned = { ...record, request, reading: levelsReading(usualPrint, 32) };
    return [store.tests.save(record).id, store.tests.save(toned).id];
  });
  store.devices.create({ name: text, role: "reader", secretHash: "0".repeat(64) });
  await request(app).delete(`/api/prints/${await make("/api/prints", { ...materials, ...both, exposureSeconds: 60 })}`);
  return { app, store, ids: { ...materials, tabletId, printId, testId, levelsId, pictureId: picture.id } };
}

function addressOf(path: string, ids: Studio["ids"]): string {
  const idByFolder = { "/prints/": ids["printId"], "/boxes/": ids["lampId"], "/materials/": ids["lampId"] };
  const [, id = ids["testId"]] = Object.entries(idByFolder).find(([folder]) => path.includes(folder)) ?? [];
  return path.replace(":kind", "lamps").replace(/:\w+/, id ?? "");
}

const binary = (response: Response, done: (error: Error | null, body: Buffer) => void): void => {
  const chunks: Buffer[] = [];
  const stream = response as unknown as NodeJS.ReadableStream;
  stream.on("data", (chunk: Buffer) => chunks.push(chunk));
  stream.on("end", () => done(null, Buffer.concat(chunks)));
};

describe.each(Object.entries(texts))("%s in every text of every record", (_name, text) => {
  let studio: Studio;
  beforeAll(async () => {
    studio = await studioFullOf(text);
  });

  it("is inert on every page", async () => {
    const { app, ids } = studio;
    const paths = knownRoutes(app)
      .filter(({ method, path }) => method === "GET" && !/^\/(api|live|styles)|\.pdf$|^\/pictures/.test(path))
      .map(({ path }) => addressOf(path, ids));
    const query = new URLSearchParams({ ...ids, search: text, name: text, code: text, to: text, section: text });
    let shown = 0;
    for (const path of [...new Set(paths)].flatMap((each) => [each, `${each}?${query.toString()}`])) {
      const { status, text: page, headers } = await request(app).get(path).set("Accept", "text/html");
      expect(`${path} ${status < 500}`).toBe(`${path} true`);
      expect(`${path} ${page.includes(`<${mark}`)}`).toBe(`${path} false`);
      expect(page).not.toMatch(/href="\s*javascript:/);
      expect(`${path} ${unseen.test(page)}`).toBe(`${path} false`);
      expect(String(headers["set-cookie"] ?? "")).not.toContain("a=b");
      if (status === 200 && page.includes(mark)) shown++;
    }
    // It is there to be seen, as text.
    if (text.includes(`<${mark}`)) expect(shown).toBeGreaterThan(20);
  }, 120_000);

  it("is text in printed files, and nothing that acts", async () => {
    const { app, ids } = studio;
    for (const path of [`/tests/${ids["testId"]}/report.pdf`, `/studio/boxes/${ids["lampId"]}/card.pdf`]) {
      const answer = await request(app)
        .get(path)
        .buffer(true)
        .parse(binary as never);
      expect(answer.status).toBe(200);
      const bytes = answer.body as Buffer;
      const raw = bytes
        .toString("latin1")
        // Packed drawings and letters, in which any three bytes may stand; no object of these files is packed.
        .replace(/\bstream\r?\n[\s\S]*?\nendstream/g, "")
        .replace(/\((?:\\.|[^\\()])*\)/g, "()")
        .replace(/<[0-9A-Fa-f\s]*>/g, "<>");
      expect(raw).not.toContain("/ObjStm");
      expect(raw).toContain("/Catalog");
      expect(raw).not.toMatch(/\/(JavaScript|JS|AA|OpenAction|Launch|URI|SubmitForm|EmbeddedFile)\b/);
      expect(answer.headers["content-disposition"]).toMatch(/^inline; filename="[\w.-]+"$/);
      if (spawnSync("pdfinfo", ["-v"]).error !== undefined) continue;
      const file = join(temporaryFolder(), "file.pdf");
      writeFileSync(file, bytes);
      expect(execFileSync("pdfinfo", [file], { encoding: "utf8" })).toMatch(/JavaScript:\s+no/);
    }
  });

  it("neither counts in tables nor ends their lines", async () => {
    const { app, ids } = studio;
    for (const ending of ["csv", "txt", "json", "icc", "png"]) {
      const answer = await request(app)
        .get(`/api/tests/${ids["levelsId"]}/correction.${ending}`)
        .buffer(true)
        .parse(binary as never);
      expect(`${ending} ${answer.status}`).toBe(`${ending} 200`);
      expect(answer.headers["content-disposition"] ?? 'attachment; filename="a"').toMatch(
        /filename=("[\w.-]+"|[\w.-]+)$/,
      );
      if (ending !== "csv" && ending !== "txt") continue;
      const table = (answer.body as Buffer).toString("utf8");
      expect(table).not.toMatch(/^[=+@]|,[=+@]/m);
      expect(unseen.test(table)).toBe(false);
    }
  });
});

// Source: OWASP, "CSV Injection": cells that begin with =, +, -, @, tab or carriage return
it("a text that a spreadsheet would reckon with is put behind a quote mark; a negative number stays one", () => {
  expect(csvText(["=head"], [["=1+1"], ["+1"], ["-a"], ["@x"], ["\tx"], [-1.5], ["plain"]])).toBe(
    "'=head\r\n'=1+1\r\n'+1\r\n'-a\r\n'@x\r\n'\tx\r\n-1.5\r\nplain\r\n",
  );
});
