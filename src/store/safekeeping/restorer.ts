// Takes backups in, one at a time: at once, or held for a look before they are restored.
import { rmSync } from "node:fs";
import { InputError } from "#shared/errors.ts";
import type { BackupManifest } from "./backup.ts";
import { exchange, type ExchangeTools } from "./exchange.ts";
import { newId } from "#src/store/ids.ts";
import { keptStatePieces } from "./kept-states.ts";
import type { Migration } from "#src/store/migrations/migration.ts";
import type { DatabaseContents } from "./prove-database.ts";
import { unpackBackup, type UnpackedBackup } from "./restore.ts";

/** What a restore took in, and what it could not. */
interface RestoredBackup extends BackupManifest {
  readonly missing: readonly string[];
  readonly damaged: readonly string[];
  /** Name of the state that was replaced and is kept. */
  readonly replaced: string;
}

/** A proved backup that waits for a yes. */
export interface HeldBackup extends Omit<BackupManifest, "missing"> {
  readonly id: string;
  readonly contents: Omit<DatabaseContents, "pictures">;
  readonly missing: readonly string[];
  readonly damaged: readonly string[];
}

export interface Restorer {
  /**
   * Replaces everything by an archive once all of it has been proved. @throws InputError "backup-unreadable" or "busy";
   * nothing has changed then.
   */
  restore(source: AsyncIterable<Uint8Array>, options?: { acceptDamaged?: boolean }): Promise<RestoredBackup>;
  /**
   * Proves an archive, in which pictures may be missing or damaged, and holds it for half an hour. @throws like restore
   */
  hold(source: AsyncIterable<Uint8Array>): Promise<HeldBackup>;
  /** @throws InputError "not-found" or "busy" */
  restoreHeld(id: string): Promise<RestoredBackup>;
  /** Goes back to a state that was kept. @throws InputError "not-found" or "busy" */
  restoreKept(name: string): Promise<RestoredBackup>;
  /** Lets every held backup go. */
  close(): void;
}

/** How long a proved backup waits for a yes. */
const heldMs = 30 * 60_000;

export function restorer(
  tools: ExchangeTools & { readonly migrations: readonly Migration[]; readonly noteRestored: () => void },
): Restorer {
  const { dataDir, migrations, keptDir } = tools;
  let isBusy = false;
  let held: { readonly id: string; readonly unpacked: UnpackedBackup; readonly timer: NodeJS.Timeout } | undefined;

  const letGo = (): void => {
    if (held === undefined) return;
    clearTimeout(held.timer);
    rmSync(held.unpacked.folder, { recursive: true, force: true });
    held = undefined;
  };

  async function alone<Result>(work: () => Promise<Result>): Promise<Result> {
    if (isBusy) throw new InputError("busy", "A backup is being restored already: wait until it is done.");
    isBusy = true;
    try {
      return await work();
    } finally {
      isBusy = false;
    }
  }

  async function takeIn(unpacked: UnpackedBackup): Promise<RestoredBackup> {
    try {
      const replaced = await exchange(unpacked, tools);
      tools.noteRestored();
      return { ...unpacked.manifest, missing: unpacked.missing, damaged: unpacked.damaged, replaced };
    } finally {
      rmSync(unpacked.folder, { recursive: true, force: true });
    }
  }

  return {
    restore: (source, { acceptDamaged = false } = {}) =>
      alone(async () => takeIn(await unpackBackup(source, { dataDir, migrations, acceptDamaged }))),
    hold: (source) =>
      alone(async () => {
        const unpacked = await unpackBackup(source, { dataDir, migrations, acceptDamaged: true });
        letGo();
        const id = newId();
        held = { id, unpacked, timer: setTimeout(letGo, heldMs).unref() };
        const { manifest, missing, damaged } = unpacked;
        const { pictures: _pictures, ...contents } = unpacked.contents;
        return { ...manifest, id, contents, missing, damaged };
      }),
    restoreHeld: (id) =>
      alone(async () => {
        if (held?.id !== id) throw new InputError("not-found", "This backup is not held any more: send it again.");
        const { unpacked, timer } = held;
        clearTimeout(timer);
        held = undefined;
        return takeIn(unpacked);
      }),
    restoreKept: (name) =>
      alone(async () =>
        takeIn(await unpackBackup(keptStatePieces(keptDir, name, ""), { dataDir, migrations, acceptDamaged: true })),
      ),
    close: letGo,
  };
}
