import { forWriting, type Tools } from "#src/studio/tools.ts";
import { version } from "#src/version.ts";

export interface Restored {
  /** When and by which version the backup was written. */
  readonly createdAt: string;
  readonly version: string;
  readonly tests: number;
  readonly pictures: number;
  /** Pictures that the backup could not carry, or carried damaged. */
  readonly missing: readonly string[];
  readonly damaged: readonly string[];
  /** Name of the state that was replaced; it is kept for 30 days. */
  readonly replaced: string;
}

/** Everything as one archive, piece by piece. */
export function backUp({ store }: Pick<Tools, "store">): AsyncGenerator<Uint8Array> {
  return forWriting(store).backup(version);
}

/**
 * Replaces everything by a backup, once all of it has arrived and been proved.
 *
 * @throws InputError "backup-unreadable"; nothing has been changed then
 */
export async function restoreBackup(
  { store }: Pick<Tools, "store">,
  source: AsyncIterable<Uint8Array>,
  options: { acceptDamaged?: boolean } = {},
): Promise<Restored> {
  const manifest = await forWriting(store).restore(source, options);
  return {
    createdAt: manifest.createdAt,
    version: manifest.version,
    tests: store.tests.count(),
    pictures: manifest.pictures,
    missing: manifest.missing,
    damaged: manifest.damaged,
    replaced: manifest.replaced,
  };
}
