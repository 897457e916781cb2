// Sound rendered pictures, and the same made unsound by a general imaging library: darkened, blurred, shone upon, far.
import { join } from "node:path";
import sharp, { type Sharp } from "sharp";
import { describe, expect, it } from "vitest";
import { glanceAt, glanceFacts, type PictureGlance } from "#shared/reading/picture-glance.ts";
import { rootDir } from "#src/settings.ts";

const sound = ["cotton", "grey-levels", "over-exposed", "scan-on-paper", "sun-test", "tilted-photo", "under-exposed"];
const smallSide = 1600;

async function smallCopy(name: string): Promise<Buffer> {
  return sharp(join(rootDir, "samples", "pictures", `${name}.jpg`))
    .autoOrient()
    .resize({ width: smallSide, height: smallSide, fit: "inside", withoutEnlargement: true })
    .png()
    .toBuffer();
}

async function glanceOf(picture: Sharp): Promise<PictureGlance> {
  const { data, info } = await picture.removeAlpha().raw().toBuffer({ resolveWithObject: true });
  return glanceAt({ width: info.width, height: info.height, rgb: new Uint8Array(data) });
}

async function codesOf(picture: Sharp): Promise<string[]> {
  return glanceFacts(await glanceOf(picture)).map(({ code }) => code);
}

describe("a glance at a picture", () => {
  it.each(sound)("finds nothing to say of the sound picture %s", async (name) => {
    expect(await codesOf(sharp(await smallCopy(name)))).toEqual([]);
  });

  it("sees that a picture was taken in the dark", async () => {
    expect(await codesOf(sharp(await smallCopy("scan-on-paper")).linear(0.4, 0))).toContain("picture-dark");
  });

  it("sees blur, and how wide: the edge of a Gaussian blur rises over sigma × √(2π) pixels", async () => {
    const copy = await smallCopy("tilted-photo");
    for (const sigma of [3, 4]) {
      const glance = await glanceOf(sharp(await sharp(copy).blur(sigma).png().toBuffer()));
      expect(glance.edgeWidthPx! / (sigma * Math.sqrt(2 * Math.PI))).toBeGreaterThan(0.85);
      expect(glance.edgeWidthPx! / (sigma * Math.sqrt(2 * Math.PI))).toBeLessThan(1.2);
      expect(glanceFacts(glance).map(({ code }) => code)).toContain("picture-blurred");
    }
  });

  it("sees glare: spots that are whiter than the paper", async () => {
    const spot = Buffer.from(
      '<svg xmlns="http://www.w3.org/2000/svg" width="400" height="200">' +
        '<ellipse cx="200" cy="100" rx="90" ry="40" fill="#fff"/></svg>',
    );
    const shining = await sharp(await smallCopy("cotton"))
      .composite([{ input: spot, left: 400, top: 400 }])
      .png()
      .toBuffer();
    expect(await codesOf(sharp(shining))).toEqual(["picture-glare"]);
  });

  it("sees that the print is far away, and how much of the picture it fills", async () => {
    const far = await sharp(await smallCopy("scan-on-paper"))
      .resize({ width: 300 })
      .toBuffer();
    const table = sharp({ create: { width: 1600, height: 1200, channels: 3, background: "#8a7f70" } });
    const picture = await table
      .composite([{ input: far, left: 600, top: 500 }])
      .png()
      .toBuffer();
    const facts = glanceFacts(await glanceOf(sharp(picture)));
    expect(facts.map(({ code }) => code)).toEqual(["print-far"]);
  });

  it("sees a picture of something that is not blue, and does not fail where there is no edge", async () => {
    const wall = sharp({ create: { width: 800, height: 600, channels: 3, background: "#d8cdbc" } });
    const glance = await glanceOf(sharp(await wall.png().toBuffer()));
    expect(glance.edgeWidthPx).toBeNull();
    expect(glanceFacts(glance)).toEqual([{ code: "picture-without-blue" }]);
  });
});
