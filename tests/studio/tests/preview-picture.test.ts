// Small copies of pictures, and pictures that wait for their form.
import { describe, expect, it } from "vitest";
import { keepPicture, pictureSize, previewPicture } from "#src/studio/tests/preview-picture.ts";
import { fakeImaging } from "../../support/fake-imaging.ts";
import { savePicture } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

function studio() {
  const imaging = fakeImaging({
    preview: (job) => ({
      jpeg: new TextEncoder().encode(`small ${(job as { maxSidePx: number }).maxSidePx}`),
      fullWidth: 4000,
      fullHeight: 3000,
    }),
  });
  return { ...testApp({ imaging }), imaging };
}

describe("previewPicture", () => {
  it("makes each size once", async () => {
    const { store, imaging } = studio();
    const id = await savePicture(store);
    const text = async (side: 320 | 1600): Promise<string> =>
      new TextDecoder().decode(await previewPicture({ store, imaging }, id, side));
    expect([await text(320), await text(320), await text(1600)]).toEqual(["small 320", "small 320", "small 1600"]);
    expect(imaging.asked).toHaveLength(2);
    await expect(previewPicture({ store, imaging }, "nope", 320)).rejects.toThrow(/no such picture/);
  });
});

describe("keepPicture and pictureSize", () => {
  it("keep a picture under an id that a form can name, and say how large it is", async () => {
    const { store, imaging } = studio();
    const kept = await keepPicture({ store, imaging }, new TextEncoder().encode("a photo"));
    expect(kept).toMatchObject({ width: 4000, height: 3000 });
    expect(new TextDecoder().decode(await store.pictures.read(kept.pictureId))).toBe("a photo");
    expect(await pictureSize({ store, imaging }, kept.pictureId)).toEqual({ width: 4000, height: 3000 });
  });
});
