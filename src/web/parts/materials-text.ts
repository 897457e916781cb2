// The materials of a test or print in one line.
import type { StoreReader } from "#src/store/store.ts";

/** "Box A · Watercolour paper · Classic blue · Clear film". */
export function materialsText(
  store: StoreReader,
  ids: {
    readonly lampId: string;
    readonly supportId: string;
    readonly coatingId: string;
    readonly filmId?: string | null | undefined;
  },
): string {
  const names = [
    store.lamps.find(ids.lampId),
    store.supports.find(ids.supportId),
    store.coatings.find(ids.coatingId),
    ids.filmId == null ? undefined : store.films.find(ids.filmId),
  ];
  return names.flatMap((material) => (material === undefined ? [] : [material.name])).join(" · ");
}
