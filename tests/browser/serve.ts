// The real app with a real imaging pool, on a free port and a store of its own.
import type { AddressInfo } from "node:net";
import { createServer, type Server } from "node:http";
import { join } from "node:path";
import { createApp } from "#src/app.ts";
import { createImagingPool } from "#src/imaging/pool.ts";
import { readSettings, rootDir } from "#src/settings.ts";
import { openStore, type Store } from "#src/store/store.ts";
import { entryCodes } from "#src/studio/devices/entry-codes.ts";
import { noDoor, type NetworkDoor } from "#src/studio/devices/network-door.ts";
import { fromNetwork } from "../support/from-network.ts";

export interface TestServer {
  readonly address: string;
  /** The same app as a phone in the network reaches it. */
  readonly networkAddress: string;
  readonly store: Store;
  close(): Promise<void>;
}

/** Starts the app on 127.0.0.1. */
export async function serveApp(dataDir: string, port = 0): Promise<TestServer> {
  const store = openStore(dataDir);
  const imaging = createImagingPool({ workerFile: join(rootDir, ".build", "imaging-worker.mjs"), threads: 2 });
  let networkAddress = "";
  const door: NetworkDoor = { ...noDoor(), isOpen: true, addresses: () => [networkAddress] };
  const settings = { ...readSettings({}), dataDir };
  const app = createApp({ settings, store, imaging, access: { door, codes: entryCodes() } });
  const server = createServer(app);
  const network = createServer(fromNetwork(app));
  await new Promise<void>((resolve) => server.listen(port, "127.0.0.1", resolve));
  await new Promise<void>((resolve) => network.listen(0, "127.0.0.1", resolve));
  const addressOf = (each: Server): string => `http://127.0.0.1:${(each.address() as AddressInfo).port}`;
  networkAddress = addressOf(network);
  return {
    address: addressOf(server),
    networkAddress,
    store,
    async close() {
      for (const each of [server, network]) {
        each.closeAllConnections();
        await new Promise((resolve) => each.close(resolve));
      }
      await imaging.close();
      store.close();
    },
  };
}
