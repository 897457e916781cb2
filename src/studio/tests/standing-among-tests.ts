// How a saved test stands among the others of its combination: whether it counts, and what all of them say together.
import { batchesOf } from "#shared/coating/batches.ts";
import { isDaylight } from "#shared/lamp/daylight.ts";
import type { ExposureAnswer } from "#shared/schema/exposures.ts";
import type { SavedTest } from "#shared/schema/test.ts";
import { lookUpExposure } from "#src/studio/look-up-exposure.ts";
import type { Tools } from "#src/studio/tools.ts";

export interface TestStanding {
  /** Why somebody left it out of the times; null where nobody did. */
  readonly leftOutReason: string | null;
  /** The newest other test of the combination that has the same picture; null where none has. */
  readonly samePicture: { readonly id: string; readonly madeAt: string } | null;
  /**
   * Time of its combination by everything that is known, for its own depth, film, batch and distance; null under the
   * sun, where seconds are one day's.
   */
  readonly answer: ExposureAnswer | null;
}

/** Tests of one combination among which the same picture is looked for. */
const testsLooked = 200;

export function standingAmongTests({ store }: Pick<Tools, "store">, test: SavedTest): TestStanding {
  const { lampId, supportId, coatingId } = test.request;
  const twin = store.tests
    .list({ lampId, supportId, coatingId, limit: testsLooked })
    .tests.find(({ id, pictureId }) => id !== test.id && pictureId === test.pictureId);
  return {
    leftOutReason: store.changes.leftOut().get(test.id) ?? null,
    samePicture: twin === undefined ? null : { id: twin.id, madeAt: twin.madeAt },
    answer: answerOf({ store }, test),
  };
}

function answerOf({ store }: Pick<Tools, "store">, { request, exposure }: SavedTest): ExposureAnswer | null {
  const { lampId, supportId, coatingId, filmId, batchId, lampDistanceMm } = request;
  const [lamp, coating] = [store.lamps.find(lampId), store.coatings.find(coatingId)];
  if (request.sun != null || isDaylight(lamp?.kind) || coating === undefined) return null;
  const isBatchKept = batchesOf(coating).some(({ id }) => id === batchId);
  return lookUpExposure(
    { store },
    {
      lampId,
      supportId,
      coatingId,
      share: exposure.targetShare,
      ...(filmId == null ? {} : { filmId }),
      ...(isBatchKept && batchId != null ? { batchId } : {}),
      ...(lampDistanceMm == null ? {} : { distanceMm: lampDistanceMm }),
    },
  );
}
