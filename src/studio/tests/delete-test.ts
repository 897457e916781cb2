import { binTest } from "#src/studio/safekeeping/bin.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";

/**
 * Deletes a test, and its pictures unless another test uses them; both lie in the bin for 30 days.
 *
 * @throws InputError "not-found"
 */
export function deleteTest(tools: Pick<Tools, "store">, id: string): void {
  const store = forWriting(tools.store);
  const test = store.tests.get(id);
  const { pictureId, furtherPictures } = test;
  const pictureIds = [
    pictureId,
    ...furtherPictures.photos,
    ...(furtherPictures.evenLight === null ? [] : [furtherPictures.evenLight]),
  ];
  binTest({ store }, test, pictureIds);
  store.transaction(() => store.tests.remove(id));
  pictureIds.forEach((each) => store.pictures.removeIfUnused(each));
}
