// The evenness of a box: the figures of a map that was drawn here stay with the lamp.
import type { Material } from "#src/studio/materials/keep-material.ts";
import { changeMaterial } from "#src/studio/materials/keep-material.ts";
import type { Tools } from "#src/studio/tools.ts";

/**
 * Keeps a map's figures with a lamp.
 * @throws InputError "not-found" for an unknown map or lamp
 */
export function keepEvenness(
  tools: Pick<Tools, "store">,
  { mapId, lampId }: { mapId: string; lampId: string },
): Material {
  const map = tools.store.evennessMaps.get(mapId);
  const evenness = {
    madeAt: map.createdAt,
    rangeStops: map.worstToBestStops,
    evenShare: map.withinTenthShare,
    mapId,
  };
  return changeMaterial(tools, { kind: "lamps", id: lampId, changes: { evenness } });
}
