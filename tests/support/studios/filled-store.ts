// A store with tests in it, each with a picture of its own, and an app over it.
import { createApp } from "#src/app.ts";
import { readSettings } from "#src/settings.ts";
import { openStore, type Store } from "#src/store/store.ts";
import { fakeImaging } from "../fake-imaging.ts";
import { sampleTestRecord, saveSampleMaterials, savePicture } from "./sample-records.ts";
import { temporaryFolder } from "../temporary-folder.ts";

export async function filled(count: number): Promise<{ store: Store; ids: string[] }> {
  const store = openStore(temporaryFolder());
  const ids: string[] = [];
  for (let n = 0; n < count; n++) {
    const record = sampleTestRecord(saveSampleMaterials(store), await savePicture(store, `picture ${n} `.repeat(900)));
    ids.push(store.transaction(() => store.tests.save(record)).id);
  }
  return { store, ids };
}

export function appOf(store: Store) {
  return createApp({ settings: { ...readSettings({}), dataDir: store.dataDir }, store, imaging: fakeImaging() });
}
