// Several files in one, as every machine opens them.
import { zipSync } from "fflate";

/** Files as they are, not pressed again: pictures are pressed already. */
export function zipOf(files: readonly { readonly name: string; readonly bytes: Uint8Array }[]): Uint8Array {
  return zipSync(Object.fromEntries(files.map(({ name, bytes }) => [name, bytes])), { level: 0 });
}
