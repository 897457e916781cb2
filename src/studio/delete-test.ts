import type { Tools } from "./tools.ts";

/**
 * Deletes a test, and its pictures unless another test uses them.
 *
 * @throws InputError "not-found"
 */
export function deleteTest({ store }: Pick<Tools, "store">, id: string): void {
  const { pictureId, furtherPictures } = store.tests.get(id);
  const pictureIds = [
    pictureId,
    ...furtherPictures.photos,
    ...(furtherPictures.evenLight === null ? [] : [furtherPictures.evenLight]),
  ];
  store.transaction(() => store.tests.remove(id));
  pictureIds.forEach((each) => store.pictures.removeIfUnused(each));
}
