// The real app with a real imaging pool, on a free port and a store of its own.
import type { AddressInfo } from "node:net";
import { createServer } from "node:http";
import { join } from "node:path";
import { createApp } from "#src/app.ts";
import { createImagingPool } from "#src/imaging/pool.ts";
import { readSettings, rootDir } from "#src/settings.ts";
import { openStore, type Store } from "#src/store/store.ts";

export interface TestServer {
  readonly address: string;
  readonly store: Store;
  close(): Promise<void>;
}

/** Starts the app on 127.0.0.1. */
export async function serveApp(dataDir: string, port = 0): Promise<TestServer> {
  const store = openStore(dataDir);
  const imaging = createImagingPool({ workerFile: join(rootDir, ".build", "imaging-worker.mjs"), threads: 2 });
  const server = createServer(createApp({ settings: { ...readSettings({}), dataDir }, store, imaging }));
  await new Promise<void>((resolve) => server.listen(port, "127.0.0.1", resolve));
  return {
    address: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    store,
    async close() {
      server.closeAllConnections();
      await new Promise((resolve) => server.close(resolve));
      await imaging.close();
      store.close();
    },
  };
}
