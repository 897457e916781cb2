// Shows a stored picture small enough for a page; each size is made once.
import { glanceFacts, type GlanceFact } from "#shared/reading/picture-glance.ts";
import type { SeveralPictures } from "#shared/reading/reading-facts.ts";
import { refusal } from "#shared/words/refusal-words.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";

/** Sizes that pages use, longest side in pixels: a thumbnail, and a picture fine enough to place corners on. */
export const previewSidesPx = [320, 1600] as const;
export type PreviewSidePx = (typeof previewSidesPx)[number];

/**
 * Most bytes of pictures that wait for their forms, all senders together; a class of thirty sends a quarter of that.
 */
const mostUnusedBytes = 1024 * 1024 * 1024;

/**
 * A small JPEG of a stored picture, upright.
 * @throws InputError "not-found", "not-a-picture", "busy"
 */
export async function previewPicture(
  { store, imaging }: Tools,
  pictureId: string,
  maxSidePx: PreviewSidePx,
): Promise<Uint8Array> {
  const { previews } = forWriting(store);
  store.pictures.get(pictureId);
  const made = await previews.read(pictureId, maxSidePx);
  if (made !== undefined) return made;
  const { jpeg } = await imaging.run("preview", { picture: await store.pictures.read(pictureId), maxSidePx });
  await previews.write(pictureId, maxSidePx, jpeg);
  return jpeg;
}

export interface KeptPicture {
  readonly pictureId: string;
  /** Upright [px]. */
  readonly width: number;
  readonly height: number;
  /** What is doubtful about its file and, at a glance, about it; the gravest first. */
  readonly facts: readonly (GlanceFact | SeveralPictures)[];
}

/**
 * Keeps a picture that no test refers to yet, so that a form can be sent again without it; it goes by itself when
 * nothing comes of it.
 * @returns its id and the size of the upright picture [px]
 * @throws InputError "not-a-picture", "picture-too-large", "busy"
 */
export async function keepPicture({ store, imaging }: Tools, bytes: Uint8Array): Promise<KeptPicture> {
  if (store.pictures.unusedBytes() > mostUnusedBytes) throw refusal("busy", { code: "too-many-unused-pictures" });
  const side = previewSidesPx[1];
  const job = { picture: bytes, maxSidePx: side, isLookedAt: true };
  const { jpeg, fullWidth, fullHeight, several, glance } = await imaging.run("preview", job);
  const { pictures, previews } = forWriting(store);
  const written = await pictures.write(bytes);
  try {
    const pictureId = pictures.keep(written);
    await previews.write(pictureId, side, jpeg);
    const facts = [...(several === undefined ? [] : [several]), ...(glance === undefined ? [] : glanceFacts(glance))];
    return { pictureId, width: fullWidth, height: fullHeight, facts };
  } finally {
    pictures.letGo(written);
  }
}

/** Size of a stored picture when upright, from its first bytes alone [px]. */
export async function pictureSize(
  { store, imaging }: Tools,
  pictureId: string,
): Promise<{ width: number; height: number }> {
  const { width, height } = await imaging.run("inspect-picture", { picture: await store.pictures.read(pictureId) });
  return { width, height };
}
