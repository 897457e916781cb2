// The door to the network: while it is open, the server also listens on this machine's addresses in its surroundings.
import { createServer, type RequestListener, type Server } from "node:http";
import type { DoorTrouble } from "#shared/words/device-words.ts";
import { addressesInNetwork, webAddress } from "./network-addresses.ts";

export interface NetworkDoor {
  /** Whether the server listens on the network by the setting HOST, whatever this door does. */
  readonly isOpenBySetting: boolean;
  readonly isOpen: boolean;
  /** Web addresses that answer now, the likeliest first. */
  addresses(): string[];
  /** Why some addresses do not answer. */
  troubles(): DoorTrouble[];
  /** Opens it where it can be opened, and follows the machine from network to network. */
  open(): Promise<void>;
  /** Closes it, with every connection that came through it; gently: what is under way may finish. */
  close(options?: { readonly gently?: boolean }): Promise<void>;
}

export interface DoorOptions {
  readonly answer: RequestListener;
  /** The port of the server on this machine, and the host that it listens on. */
  readonly port: number;
  readonly host: string;
  /** Makes a server ready for phones: limits and waiting times. */
  readonly prepare?: (server: Server) => void;
  readonly findAddresses?: typeof addressesInNetwork;
}

/** How often is looked whether the machine has come into another network. */
const lookEveryMs = 15_000;
/** The network's servers leave room for the desk. */
const mostConnections = 256;

export function networkDoor({
  answer,
  port,
  host,
  prepare,
  findAddresses = addressesInNetwork,
}: DoorOptions): NetworkDoor {
  const isOpenBySetting = !["127.0.0.1", "::1", "localhost"].includes(host);
  const servers = new Map<string, Server>();
  const closing = new Set<Server>();
  const troubleByAddress = new Map<string, DoorTrouble>();
  let timer: NodeJS.Timeout | undefined;
  let isOpen = false;

  async function listenOn(address: string): Promise<void> {
    const server = createServer(answer);
    prepare?.(server);
    server.maxConnections = mostConnections;
    servers.set(address, server);
    await new Promise<void>((resolve) => {
      server.once("error", (error) => {
        const code = "code" in error ? String(error.code) : error.message;
        troubleByAddress.set(address, { code: "address-taken", address: webAddress(address, port), reason: code });
        servers.delete(address);
        resolve();
      });
      server.listen(port, address, () => {
        troubleByAddress.delete(address);
        resolve();
      });
    });
  }

  function closeOne(address: string, gently: boolean): Promise<void> {
    const server = servers.get(address);
    servers.delete(address);
    return new Promise((resolve) => {
      if (server === undefined) return resolve();
      closing.add(server);
      server.close(() => {
        closing.delete(server);
        resolve();
      });
      if (gently) server.closeIdleConnections();
      else server.closeAllConnections();
    });
  }

  async function follow(): Promise<void> {
    const { own } = findAddresses();
    for (const address of troubleByAddress.keys()) if (!own.includes(address)) troubleByAddress.delete(address);
    await Promise.all([
      ...[...servers.keys()].filter((address) => !own.includes(address)).map((address) => closeOne(address, false)),
      ...own.filter((address) => !servers.has(address)).map(listenOn),
    ]);
  }

  return {
    isOpenBySetting,
    get isOpen() {
      return isOpen || isOpenBySetting;
    },
    addresses() {
      const { own, open } = findAddresses();
      const isEverywhere = host === "0.0.0.0" || host === "::";
      const bySetting = isEverywhere ? [...own, ...open] : [host];
      const answering = isOpenBySetting ? bySetting : own.filter((each) => servers.has(each));
      return answering.map((address) => webAddress(address, port));
    },
    troubles() {
      const { open } = findAddresses();
      const left = isOpenBySetting ? [] : open;
      return [
        ...troubleByAddress.values(),
        ...left.map((address): DoorTrouble => ({ code: "address-of-internet", address })),
      ];
    },
    async open() {
      if (isOpenBySetting || isOpen) return;
      isOpen = true;
      await follow();
      timer = setInterval(() => void follow(), lookEveryMs).unref();
    },
    async close({ gently = false } = {}) {
      isOpen = false;
      clearInterval(timer);
      if (!gently) closing.forEach((server) => server.closeAllConnections());
      await Promise.all([...servers.keys()].map((address) => closeOne(address, gently)));
    },
  };
}

/** The door of an app that stands behind somebody else's server, as in tests: it has none of its own. */
export function noDoor(): NetworkDoor {
  return {
    isOpenBySetting: false,
    isOpen: false,
    addresses: () => [],
    troubles: () => [],
    open: async () => {},
    close: async () => {},
  };
}
