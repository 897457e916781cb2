import request from "supertest";
import { describe, expect, it } from "vitest";
import { lookupStudio, type LookupStudio } from "../../support/studios/lookup-studio.ts";
import { plotsIn } from "#src/web/parts/plot-files.ts";

async function comparedStudio(): Promise<{ app: LookupStudio["app"]; testIds: string[] }> {
  const { app, ids, saveTest } = await lookupStudio();
  return { app, testIds: [await saveTest(), await saveTest({ supportId: ids["cotton"], middle: 2.1, seed: 2 })] };
}

describe("every plot of a page", () => {
  it("is found in the view object wherever it lies, and nothing else is", () => {
    const plot = { title: "a", summary: "b", x: {}, y: {}, series: [] };
    expect(
      plotsIn({ list: [{ deep: { plot } }], other: plot, text: "plot", none: null, bytes: new Uint8Array(9) }),
    ).toEqual([plot, plot]);
  });

  it("stands below it in figures, and can be taken away as a drawing and as a table", async () => {
    const { app, testIds } = await comparedStudio();
    const address = `/comparisons?testId=${testIds.join("&testId=")}`;
    const { text } = await request(app).get(address).expect(200);
    const links = [...text.matchAll(/href="([^"]+plot=0[^"]*)"/g)].map(([, href = ""]) =>
      href.replaceAll("&amp;", "&"),
    );
    expect(links.map((link) => link.slice(-3))).toEqual(["svg", "png", "csv"]);
    expect(text).toContain("In figures, and as files");
    const [svg = "", , csv = ""] = links;
    const drawing = await request(app)
      .get(svg)
      .expect(200)
      .expect("content-disposition", /\.svg"$/);
    expect(String(drawing.body)).toMatch(/^<svg xmlns="http:\/\/www\.w3\.org\/2000\/svg"/);
    const table = await request(app).get(csv).expect(200).expect("content-type", /csv/);
    const rows = table.text.trim().split("\r\n");
    expect(rows[0]).toMatch(/^series,/);
    expect(rows.length).toBeGreaterThan(20);
  });

  it("a number that the page does not have is not found", async () => {
    const { app, testIds } = await comparedStudio();
    await request(app)
      .get(`/comparisons?testId=${testIds.join("&testId=")}&plot=9&as=csv`)
      .expect(404);
  });
});
