// Prints in work: begun from a procedure, changed while they run, judged when they are dry.
import { defaultProcedure, runStepsFrom } from "#shared/prints/procedure.ts";
import { printInputSchema, type PrintPatch, type PrintRequest, type SavedPrint } from "#shared/schema/prints.ts";
import { binPrint } from "./safekeeping/bin.ts";
import { checkMaterials } from "./materials/check-materials.ts";
import { refuseIfChanged } from "./seen-version.ts";
import { forWriting, type Tools } from "./tools.ts";

/**
 * Begins a print: its steps come from the request, else from the coating's procedure, else from the default one.
 * @throws InputError "bad-request" for unknown materials
 */
export function beginPrint({ store }: Pick<Tools, "store">, request: PrintRequest): SavedPrint {
  checkMaterials(store, request);
  const procedure = store.coatings.get(request.coatingId).procedure ?? defaultProcedure;
  const { plan, ...print } = request;
  const steps = print.steps ?? runStepsFrom(procedure, print.exposureSeconds, plan);
  return forWriting(store).prints.save(printInputSchema.parse({ ...print, steps }));
}

/**
 * Changes any part of a print; what is not named stays.
 * @param seenVersion of the print that the changes were made on
 * @throws InputError "not-found", "changed-meanwhile", or "bad-request" for unknown materials
 */
export function changePrint(
  { store }: Pick<Tools, "store">,
  id: string,
  changes: Readonly<PrintPatch>,
  { seenVersion }: { seenVersion?: string | undefined } = {},
): SavedPrint {
  refuseIfChanged(seenVersion, store.prints.get(id), changes);
  const input = printInputSchema.parse({ ...store.prints.get(id), ...changes });
  checkMaterials(store, input);
  return forWriting(store).prints.replace(id, input);
}

/** Largest side of a print's picture as it is looked at when it comes in, pixels. */
const lookPx = 64;

/**
 * Keeps a picture of the finished print; the one before it goes unless something else uses it.
 * @throws InputError "not-found", "not-a-picture" or "picture-too-large"
 */
export async function keepPrintPicture(
  { store: reader, imaging }: Tools,
  id: string,
  bytes: Uint8Array,
): Promise<SavedPrint> {
  const store = forWriting(reader);
  const before = store.prints.get(id).pictureId;
  await imaging.run("preview", { picture: bytes, maxSidePx: lookPx });
  const written = await store.pictures.write(bytes);
  try {
    return store.transaction(() =>
      store.prints.replace(id, printInputSchema.parse(store.prints.get(id)), {
        pictureId: store.pictures.keep(written),
      }),
    );
  } finally {
    store.pictures.letGo(written);
    if (before !== null) store.pictures.removeIfUnused(before);
  }
}

/** @throws InputError "not-found" */
export function deletePrint(tools: Pick<Tools, "store">, id: string): void {
  const store = forWriting(tools.store);
  const print = store.prints.get(id);
  const { pictureId } = print;
  binPrint({ store }, print);
  store.transaction(() => store.prints.remove(id));
  if (pictureId !== null) store.pictures.removeIfUnused(pictureId);
}
