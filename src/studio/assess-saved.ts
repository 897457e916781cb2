// Curve and advice of a test with what the store knows about its materials.
import { assessTest } from "#shared/exposure/assess-test.ts";
import type { Assessment } from "#shared/schema/curve.ts";
import type { Reading } from "#shared/schema/reading.ts";
import type { TestRequest } from "#shared/schema/test.ts";
import type { Store } from "#src/store/store.ts";
import { checkMaterials } from "./check-materials.ts";

/**
 * @throws InputError "bad-request" for unknown materials
 */
export function assessWithMaterials(store: Store, request: TestRequest, reading: Reading): Assessment {
  const film = checkMaterials(store, request);
  const assessment = assessTest({ request, reading, filmDensity: film?.baseDensity ?? null, filmMaxDensity: film?.maxDensity ?? null });
  const isClothFound = reading.location.method === "found" && request.tablet.kind !== "sheet" && store.supports.get(request.supportId).kind === "fabric";
  if (!isClothFound || assessment.warnings.some(({ code }) => code === "location-uncertain")) return assessment;
  // Cloth stretches, and a strip on it is found in its place less surely than the finder itself can tell.
  return { ...assessment, warnings: [...assessment.warnings, { code: "location-uncertain", message: "The strip was found by itself on fabric, which stretches: look whether the boxes on the picture fit the steps, and move the corners if they do not." }] };
}
