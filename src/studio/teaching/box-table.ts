// One paper under every box of the studio: its times side by side, and how the boxes stand to one of them.
import { isDaylight } from "#shared/lamp/daylight.ts";
import { batchInUse } from "#shared/coating/batches.ts";
import { filmInLight } from "#shared/film/film-in-light.ts";
import { circumstancesOf } from "#shared/lookup/studio-observations.ts";
import { shoulderShare } from "#shared/limits.ts";
import { predictRatio } from "#shared/studio-model/predict-ratio.ts";
import type { Circumstances } from "#shared/studio-model/observation.ts";
import type { Lamp } from "#shared/schema/materials.ts";
import type { BoxTable, BoxTableQuery } from "#shared/schema/workshop/boxes.ts";
import { lookUpExposure } from "#src/studio/look-up-exposure.ts";
import { studioModel } from "#src/studio/studio-model.ts";
import type { Tools } from "#src/studio/tools.ts";

type Row = BoxTable["boxes"][number];

/** Where a box was measured with this paper and coating, not guessed. */
const measured: ReadonlySet<Row["source"]> = new Set(["tested", "pooled", "transferred"]);

/**
 * Times of one paper and coating under every box, and each over that of a reference, from the studio's model.
 * @throws InputError "bad-request" that names the id which is not there
 */
export function boxTable({ store }: Pick<Tools, "store">, query: BoxTableQuery): BoxTable {
  const { supportId, coatingId, filmId, referenceLampId, share = shoulderShare } = query;
  const lamps = store.lamps.list().filter(({ kind }) => !isDaylight(kind));
  const rows = lamps.map((lamp): { lamp: Lamp; row: Omit<Row, "factor"> } => {
    const { seconds, lowerSeconds, upperSeconds, nextPrint, source, warnings } = lookUpExposure(
      { store },
      { lampId: lamp.id, supportId, coatingId, filmId, share },
    );
    const isDisputed = warnings.some(({ code }) => code === "tests-disagree");
    const time = { seconds, lowerSeconds, upperSeconds, nextPrint, source, isDisputed };
    return { lamp, row: { lampId: lamp.id, name: lamp.name, ...time } };
  });
  const reference =
    rows.find(({ lamp }) => lamp.id === referenceLampId) ??
    rows.find(({ row }) => row.seconds !== null && measured.has(row.source)) ??
    rows.find(({ row }) => row.seconds !== null);
  const standing = standingOf(store, query);
  return {
    supportId,
    coatingId,
    filmId: filmId || null,
    referenceLampId: reference?.lamp.id ?? null,
    targetShare: share,
    boxes: rows.map(({ lamp, row }) => ({
      ...row,
      factor:
        reference === undefined || row.seconds === null || reference.row.seconds === null
          ? null
          : standing(lamp, reference.lamp),
    })),
  };
}

/** How two boxes stand to each other for the asked paper; exactly one where they are the same. */
function standingOf(
  store: Tools["store"],
  { supportId, coatingId, filmId }: BoxTableQuery,
): (lamp: Lamp, over: Lamp) => NonNullable<Row["factor"]> {
  const { fit, tests } = studioModel(store, "red");
  const [support, coating] = [store.supports.get(supportId), store.coatings.get(coatingId)];
  const film = filmId ? store.films.get(filmId) : null;
  const lamps = store.lamps.list({ archived: true });
  const batch = batchInUse(coating);
  const atMs = Date.now();
  const under = (lamp: Lamp): Circumstances =>
    circumstancesOf({
      wanted: {
        lamp,
        support,
        coating,
        batch,
        film: film === null ? null : filmInLight(film, lamp, lamps),
        targetShare: shoulderShare,
        distanceMm: null,
        lampHours: null,
      },
      tests,
      atMs,
    });
  return (lamp, over) => {
    if (lamp.id === over.id) return { value: 1, lower: 1, upper: 1 };
    const { logSeconds, lower, upper } = predictRatio(fit, under(lamp), under(over));
    return { value: 10 ** logSeconds, lower: 10 ** lower, upper: 10 ** upper };
  };
}
