// A reader's pages hold no button that would only be refused; a keeper's and the desk's hold them all.
import request from "supertest";
import { beforeAll, describe, expect, it } from "vitest";
import { createApp } from "#src/app.ts";
import { readSettings } from "#src/settings.ts";
import { openStore } from "#src/store/store.ts";
import { entryCodes } from "#src/studio/devices/entry-codes.ts";
import { noDoor } from "#src/studio/devices/network-door.ts";
import { pageForReader } from "#src/web/devices/reader-page.ts";
import { mayDo } from "#src/web/devices/roles.ts";
import { fakeImaging } from "../../support/fake-imaging.ts";
import { fromNetwork } from "../../support/from-network.ts";
import { sampleTestRecord, savePicture, saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

const host = "192.168.1.20:4870";
const dataDir = temporaryFolder();
const store = openStore(dataDir);
const codes = entryCodes();
const app = createApp({
  settings: { ...readSettings({}), dataDir },
  store,
  imaging: fakeImaging(),
  access: { door: noDoor(), codes },
});
const phone = fromNetwork(app);
const pages = ["/", "/tests", "/exposures", "/prints", "/studio", "/sun", "/sun/frames", "/negatives", "/tablets"];

async function letIn(role: "reader" | "keeper"): Promise<string> {
  const { code } = codes.make(role);
  const answer = await request(phone).post("/enter").set("Host", host).type("form").send({ code, name: "Phone" });
  return String(answer.headers["set-cookie"]?.[0]).split(";")[0] ?? "";
}

beforeAll(async () => {
  const materials = saveSampleMaterials(store);
  const picture = await savePicture(store, "of a reader");
  const test = store.transaction(() => store.tests.save(sampleTestRecord(materials, picture)));
  const print = await request(app)
    .post("/api/prints")
    .send({ ...materials, exposureSeconds: 300, name: "Run" });
  pages.push(`/tests/${test.id}`, `/prints/${print.body.id}`, `/studio/boxes/${materials.lampId}`);
  pages.push(`/studio/coatings/${materials.coatingId}`, "/studio/shelf");
});

/** Every form of a page that posts, as its address, with whether anything in it can be pressed. */
function postForms(html: string, here: string): { action: string; canPress: boolean }[] {
  return [...html.matchAll(/<form\b([^>]*)>([\s\S]*?)<\/form>/g)]
    .filter(([, tag]) => /method="post"/i.test(tag ?? ""))
    .map(([, tag = "", inside = ""]) => ({
      action: (/action="([^"?#]*)/.exec(tag)?.[1] ?? "") || here,
      canPress: /<button\b(?![^>]*type="button")|<input[^>]*type="(submit|image)"/.test(inside),
    }));
}

const pageAs = async (cookie: string, path: string): Promise<{ status: number; text: string }> =>
  request(phone).get(path).set({ Host: host, Cookie: cookie, Accept: "text/html" });

describe("a reader's pages", () => {
  it("hold no press that would be refused, and no link that leads to one", async () => {
    const cookie = await letIn("reader");
    let seen = 0;
    for (const path of pages) {
      const { status, text } = await pageAs(cookie, path);
      expect(`${path} ${status}`).toBe(`${path} 200`);
      for (const { action, canPress } of postForms(text, path)) {
        if (canPress) seen++;
        expect(`${path}: ${action} ${canPress && !mayDo("reader", "POST", action)}`).toBe(`${path}: ${action} false`);
      }
      for (const [, href = ""] of text.matchAll(/<a\b[^>]*\bhref="(\/[^"?#]*)/g))
        expect(`${path}: ${href} ${mayDo("reader", "GET", href)}`).toBe(`${path}: ${href} true`);
      expect(text).not.toMatch(/href="\/(tests|prints|negatives)\/new/);
    }
    // The presses that are theirs are still there: colours and leaving on every page, steps of the run sheet.
    expect(seen).toBeGreaterThan(pages.length);
    const sheet = await pageAs(cookie, pages.find((path) => path.startsWith("/prints/")) ?? "");
    expect(sheet.text).toMatch(/action="\/prints\/[\w-]+\/steps\/0\/start"/);
    expect(sheet.text).toMatch(/<textarea[^>]*disabled|<textarea disabled/);
  });

  it("differ from a keeper's, which hold them all", async () => {
    const [reader, keeper] = [await letIn("reader"), await letIn("keeper")];
    const box = pages.find((path) => path.startsWith("/studio/boxes/")) ?? "";
    const [asReader, asKeeper] = [await pageAs(reader, box), await pageAs(keeper, box)];
    const presses = (text: string): number => postForms(text, box).filter(({ canPress }) => canPress).length;
    expect(presses(asKeeper.text)).toBeGreaterThan(presses(asReader.text));
    expect(asKeeper.text).toContain("/tests/new");
    expect(asReader.text).toContain("Box");
  });
});

describe("pageForReader", () => {
  it("keeps what a form shows, without its buttons, and takes a form that only presses away", () => {
    const page =
      '<form method="post" action="/studio/boxes/a"><input name="name" value="Box"><button>Save</button></form>' +
      '<form method="post" action="/tests/a/delete"><input type="hidden" name="version" value="1"><button>Go</button>' +
      '</form><form method="get" action="/tests"><button>Find</button></form>';
    expect(pageForReader(page, "/studio")).toBe(
      '<form method="post" action="/studio/boxes/a"><input disabled name="name" value="Box"></form>' +
        '<form method="get" action="/tests"><button>Find</button></form>',
    );
  });

  it("takes away buttons that stand outside their form, and leaves the words of a link in a sentence", () => {
    const page =
      '<form method="post" id="f" action="/tests/new"><input type="hidden" name="a"></form>' +
      '<button form="f">Send</button><p>Or <a href="/tests/new?x=1">start a test</a>.</p>' +
      '<a class="button" href="/studio/bin">Bin</a><a href="https://example.org/">out</a>';
    expect(pageForReader(page, "/tests/new")).toBe('<p>Or start a test.</p><a href="https://example.org/">out</a>');
  });
});
