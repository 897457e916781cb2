// What a question about a time names, looked up in the store.
import { batchesOf, batchInUse } from "#shared/coating/batches.ts";
import { filmInLight } from "#shared/film/film-in-light.ts";
import type { WantedCombination } from "#shared/lookup/lookup-input.ts";
import type { ExposureQuery } from "#shared/schema/exposures.ts";
import type { Batch, Coating } from "#shared/schema/materials.ts";
import { refusal, type Ingredient } from "#shared/words/refusal-words.ts";
import type { StoreReader } from "#src/store/store.ts";

/** @throws InputError "bad-request" that names the id which is not there */
export function wantedCombination(store: StoreReader, query: ExposureQuery): WantedCombination {
  const lamp = store.lamps.find(query.lampId) ?? refuse("lampId", "lamp");
  const support = store.supports.find(query.supportId) ?? refuse("supportId", "support");
  const coating = store.coatings.find(query.coatingId) ?? refuse("coatingId", "coating");
  const { filmId = "" } = query;
  const film = filmId === "" ? null : (store.films.find(filmId) ?? refuse("filmId", "film"));
  return {
    lamp,
    support,
    coating,
    batch: batchOf(coating, query.batchId),
    film: film === null ? null : filmInLight(film, lamp, store.lamps.list({ archived: true })),
    targetShare: query.share,
    distanceMm: query.distanceMm ?? null,
    lampHours: query.lampHours ?? null,
  };
}

/** @throws InputError "bad-request" for a batch that is not of the coating */
function batchOf(coating: Coating, batchId = ""): Batch | null {
  if (batchId === "") return batchInUse(coating);
  return batchesOf(coating).find(({ id }) => id === batchId) ?? refuse("batchId", "batch");
}

function refuse(field: string, what: Ingredient): never {
  throw refusal("bad-request", { code: "no-such-ingredient", what }, { field });
}
