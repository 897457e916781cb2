// Printers of film: adding one, correcting what is known of it, saying which films are printed on it.
import { filmInputSchema } from "#shared/schema/materials.ts";
import { printerInputSchema, printerRequestSchema, type Printer } from "#shared/schema/printers.ts";
import { refuseIfChanged } from "#src/studio/seen-version.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";
import { changeFilm } from "./change-film.ts";

/** @throws ZodError, or InputError "not-found" for an unknown film */
export function addPrinter({ store }: Pick<Tools, "store">, input: unknown): Printer {
  const { filmIds, ...printer } = printerRequestSchema.parse(input);
  const writing = forWriting(store);
  return writing.transaction(() => {
    const made = writing.printers.create(printer);
    if (filmIds !== undefined) nameOnFilms({ store }, made.id, filmIds);
    return made;
  });
}

/**
 * Changes the named fields; the others stay.
 * @throws InputError "not-found", "changed-meanwhile"
 * @throws ZodError when the changed whole is no printer
 */
export function changePrinter(
  { store }: Pick<Tools, "store">,
  id: string,
  changes: Readonly<Record<string, unknown>>,
  { seenVersion }: { seenVersion?: string | undefined } = {},
): Printer {
  const writing = forWriting(store);
  const before = writing.printers.get(id);
  refuseIfChanged(seenVersion, before, changes);
  const { filmIds, ...printer } = printerRequestSchema.parse({ ...before, ...changes });
  return writing.transaction(() => {
    const changed = writing.printers.replace(id, printerInputSchema.parse(printer));
    if (filmIds !== undefined) nameOnFilms({ store }, id, filmIds);
    return changed;
  });
}

/** Takes a printer off the list; its films keep what else is known of them. @throws InputError "not-found" */
export function removePrinter({ store }: Pick<Tools, "store">, id: string): void {
  const writing = forWriting(store);
  writing.transaction(() => {
    nameOnFilms({ store }, id, []);
    writing.printers.remove(id);
  });
}

/** Films that name the printer are just these afterwards. @throws InputError "not-found" */
function nameOnFilms({ store }: Pick<Tools, "store">, printerId: string, filmIds: readonly string[]): void {
  for (const id of filmIds) store.films.get(id);
  for (const film of store.films.list({ archived: true })) {
    const isWanted = filmIds.includes(film.id);
    if (isWanted === (film.printerId === printerId)) continue;
    changeFilm({ store }, film.id, filmInputSchema.parse({ ...film, printerId: isWanted ? printerId : null }));
  }
}
