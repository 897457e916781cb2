import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { decodePicture } from "#src/imaging/decode/decode.ts";
import { blueprintDensities, levelCorners, stripFile } from "../../support/pictures/strip-picture.ts";

const drawn = async () =>
  sharp(await stripFile({ width: 790, height: 260, corners: levelCorners, densities: blueprintDensities }));

describe("a picture with transparency", () => {
  it("that is half transparent is refused: white would shine through its tones", async () => {
    const picture = await (await drawn()).ensureAlpha(0.5).png().toBuffer();
    await expect(decodePicture(picture)).rejects.toMatchObject({
      code: "not-a-picture",
      trouble: { code: "half-transparent" },
    });
  });

  it("that is there as a whole, or cut out round the strip, keeps its tones", async () => {
    const opaque = await (await drawn()).png().toBuffer();
    const { raster } = await decodePicture(opaque);
    const whole = await decodePicture(await (await drawn()).ensureAlpha(1).png().toBuffer());
    expect(Buffer.from(whole.raster.data.buffer).equals(Buffer.from(raster.data.buffer))).toBe(true);
    const alpha = Buffer.alloc(790 * 260, 255).fill(0, 0, 790 * 40);
    const cut = await (
      await drawn()
    )
      .joinChannel(alpha, { raw: { width: 790, height: 260, channels: 1 } })
      .png()
      .toBuffer();
    const { raster: cutOut } = await decodePicture(cut);
    expect(cutOut.data[0]).toBe(255);
    expect([...cutOut.data.slice(-3)]).toEqual([...raster.data.slice(-3)]);
  });
});
