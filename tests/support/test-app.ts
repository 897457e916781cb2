import type { Express } from "express";
import { createApp } from "#src/app.ts";
import type { ImagingPool } from "#src/imaging/jobs.ts";
import { readSettings } from "#src/settings.ts";
import { openStore, type Store } from "#src/store/store.ts";
import { fakeImaging } from "./fake-imaging.ts";
import { temporaryFolder } from "./temporary-folder.ts";

/** The app on a store of its own in a temporary folder; pictures are not really read unless a pool is given. */
export function testApp({ imaging = fakeImaging() }: { imaging?: ImagingPool } = {}): {
  app: Express;
  store: Store;
  imaging: ImagingPool;
} {
  const dataDir = temporaryFolder();
  const store = openStore(dataDir);
  return { app: createApp({ settings: { ...readSettings({}), dataDir }, store, imaging }), store, imaging };
}
