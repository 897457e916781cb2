// Opens what the app needs, listens, and closes it all again.
import { spawn } from "node:child_process";
import { createServer, type RequestListener, type Server } from "node:http";
import { availableParallelism } from "node:os";
import { join } from "node:path";
import { doorTroubleWords } from "#shared/words/device-words.ts";
import { createApp, prepareServer } from "#src/app.ts";
import { createImagingPool } from "#src/imaging/pool.ts";
import { readSettings, type Settings } from "#src/settings.ts";
import { codeMinutes, entryCodes } from "#src/studio/devices/entry-codes.ts";
import { networkDoor, type NetworkDoor } from "#src/studio/devices/network-door.ts";
import { terminalCode } from "#src/studio/devices/square-code.ts";
import type { Access } from "#src/studio/devices/switch-devices.ts";
import { sweepBin } from "#src/studio/safekeeping/bin.ts";
import { startAssessThread } from "#src/studio/tests/assess-thread.ts";
import { startModelThread } from "#src/studio/model-thread.ts";
import { keepModelReady } from "#src/studio/studio-model.ts";
import { keepDailyState } from "#src/studio/safekeeping/keep-safe.ts";
import { loadSamples } from "#src/studio/safekeeping/load-samples.ts";
import { removeOwnWorkFolders, sweepWorkFolders } from "#src/studio/work-folder.ts";
import { openStore, type Store } from "#src/store/store.ts";
import { StoreError } from "#src/store/store-error.ts";

/** Most worker threads that read pictures; each may hold a few hundred megabytes. */
const maxImagingThreads = 4;
/** Requests under way may take this long to finish when the server is told to stop. */
const closingSeconds = 10;

/** A class of thirty, each with a browser's six connections, and room besides. */
const mostConnections = 512;

/** How often is looked whether the state of the day is kept and unused pictures are gone. */
const keepEveryMs = 3_600_000;

/** Shows the first page in the machine's browser; where that cannot be done, the printed address is enough. */
function openInBrowser(address: string): void {
  const openers: Partial<Record<NodeJS.Platform, readonly string[]>> = {
    win32: ["cmd", "/c", "start", "", address],
    darwin: ["open", address],
  };
  const [command = "", ...args] = openers[process.platform] ?? ["xdg-open", address];
  spawn(command, args, { stdio: "ignore", detached: true })
    .on("error", () => undefined)
    .unref();
}

interface StartOptions {
  /** Load the invented studio. */
  readonly demo: boolean;
  /** Open the door for phones, and show a code where the server was started. */
  readonly phones?: boolean;
  /** Show the first page in the machine's browser. */
  readonly open?: boolean;
}

/** Starts the server and prints its address. Ends the process with one clear line when it cannot. */
export async function start({ demo, phones = false, open = false }: StartOptions): Promise<void> {
  const settings = orStop(() => readSettings());
  let answer: RequestListener = answerNotYet;
  const passOn: RequestListener = (request, response) => answer(request, response);
  const server = createServer(passOn);
  prepareServer(server);
  server.maxConnections = mostConnections;
  // First the port, then the folder: a second start by mistake ends before it has touched anything.
  try {
    await listen(server, settings);
  } catch (error) {
    stop(listenTrouble(error, settings));
  }
  const store = orStop(() => openStore(settings.dataDir, { isAlone: true, keptDir: settings.backupDir }));
  sweepWorkFolders({ atStart: true });
  const imaging = createImagingPool({
    workerFile: join(settings.rootDir, ".build", "imaging-worker.mjs"),
    threads: Math.min(maxImagingThreads, availableParallelism()),
  });
  const door = networkDoor({ answer: passOn, port: portOf(server), host: settings.host, prepare: prepareServer });
  const access: Access = { door, codes: entryCodes() };
  const modelThread = startModelThread(join(settings.rootDir, ".build", "model-worker.mjs"));
  const assessThread = startAssessThread(join(settings.rootDir, ".build", "assess-worker.mjs"));
  closeWhenTold(server, { store, imaging, modelThread, assessThread, door });
  answer = createApp({ settings, store, imaging, modelThread, assessThread, access });
  keepModelReady({ store, modelThread }, (error) =>
    console.error("The studio's model could not be fitted:", error instanceof Error ? error.message : error),
  );
  if (demo) {
    const { name, added } = await loadSamples({ store, imaging }, join(settings.rootDir, "samples"));
    console.log(`${name}: ${added} sample tests loaded into ${settings.dataDir}.`);
  }
  keepDaily({ store });
  if (phones || store.devices.isSwitchedOn()) await door.open();
  const address = `http://${addressOf(server, settings)}`;
  console.log(`Wedgewright is ready at ${address}`);
  if (open) openInBrowser(address);
  if (phones) await showEntryInTerminal(access);
  else if (door.isOpen)
    console.log(`Phones that were let in reach it at ${door.addresses().join(", ") || "no address yet: no network"}.`);
}

/**
 * For a machine without a screen of its own: addresses, a keeper's code and its square, where the server was started.
 */
async function showEntryInTerminal({ door, codes }: Access): Promise<void> {
  const [first, ...more] = door.addresses();
  for (const trouble of door.troubles()) console.log(doorTroubleWords(trouble));
  if (first === undefined) {
    console.log("This computer has no address in a local network: join it to the phones' network.");
    return;
  }
  const { code } = codes.make("keeper");
  console.log(
    `A phone comes in at ${[first, ...more].join(" or ")} with the code ${code}, once within ${codeMinutes} minutes.`,
  );
  if (process.stdout.isTTY) console.log(await terminalCode(`${first}/enter?code=${code.replace("-", "")}`));
  console.log("More codes, names and roles: Studio > Phones in the studio, on this computer.");
  console.log("The way is not encrypted: use a network that you trust.");
}

/**
 * Keeps the state of each day while the server runs; a folder that is full or gone is said once an hour and stops
 * nothing.
 */
function keepDaily(tools: { store: Store }): void {
  const keep = (): void => {
    sweepUnused(tools.store);
    keepDailyState(tools, new Date()).catch((error: unknown) =>
      console.error("The state of today could not be kept:", error instanceof Error ? error.message : error),
    );
  };
  keep();
  setInterval(keep, keepEveryMs).unref();
}

/**
 * Pictures that were sent and never used, and what has lain in the bin for 30 days, go while the server runs, not only
 * at the next start.
 */
function sweepUnused(store: Store): void {
  try {
    sweepBin({ store }, new Date());
    store.pictures.removeUnused();
  } catch (error) {
    console.error("Unused pictures could not be removed:", error instanceof Error ? error.message : error);
  }
}

/** The data folder is still being opened. */
const answerNotYet: RequestListener = (_request, response) => {
  response.writeHead(503, { "Retry-After": "1", "Content-Type": "text/plain; charset=utf-8" });
  response.end("Wedgewright is starting: try again in a moment.\n");
};

function listen(server: Server, { host, port }: Settings): Promise<void> {
  return new Promise((resolve, reject) => {
    server.once("error", reject);
    server.listen(port, host, () => {
      server.off("error", reject);
      resolve();
    });
  });
}

function portOf(server: Server): number {
  const address = server.address();
  if (typeof address !== "object" || address === null) throw new TypeError("The server does not listen on a port.");
  return address.port;
}

function addressOf(server: Server, { host }: Settings): string {
  return `${host.includes(":") ? `[${host}]` : host}:${portOf(server)}`;
}

function listenTrouble(error: unknown, { host, port }: Settings): string {
  const code = error instanceof Error && "code" in error ? String(error.code) : "";
  switch (code) {
    case "EADDRINUSE":
      return `Port ${port} is taken: stop the program that uses it, or set PORT to another number.`;
    case "EACCES":
      return `Port ${port} needs an administrator's rights: set PORT to a number above 1024.`;
    case "EADDRNOTAVAIL":
    case "ENOTFOUND":
    case "EAI_AGAIN":
      return `This machine has no address "${host}": set HOST to 127.0.0.1, or to 0.0.0.0 for every network.`;
    default:
      return `Wedgewright could not listen on ${host}:${port}${code === "" ? "" : ` (${code})`}.`;
  }
}

interface Closing {
  readonly store: Store;
  readonly imaging: { close(): Promise<void> };
  readonly modelThread: { close(): Promise<void> };
  readonly assessThread: { close(): Promise<void> };
  readonly door: NetworkDoor;
}

/**
 * On SIGINT or SIGTERM: takes no more requests, lets those under way finish, closes the store, and ends with success.
 */
function closeWhenTold(server: Server, { store, imaging, modelThread, assessThread, door }: Closing): void {
  let isClosing = false;
  const close = (): void => {
    if (isClosing) process.exit(1);
    isClosing = true;
    // Streams to pages would else be waited for.
    store.news.end();
    const hurry = setTimeout(() => {
      server.closeAllConnections();
      void door.close();
    }, closingSeconds * 1000);
    const doorClosed = door.close({ gently: true });
    server.close(async () => {
      await doorClosed;
      clearTimeout(hurry);
      await imaging.close();
      await modelThread.close();
      await assessThread.close();
      store.close();
      removeOwnWorkFolders();
      process.exit(0);
    });
    server.closeIdleConnections();
  };
  process.on("SIGINT", close);
  process.on("SIGTERM", close);
}

/** Settings and data folder: trouble that the person who starts the server can mend. */
function orStop<Result>(work: () => Result): Result {
  try {
    return work();
  } catch (error) {
    if (error instanceof StoreError || error instanceof RangeError) stop(error.message);
    throw error;
  }
}

function stop(line: string): never {
  console.error(line);
  process.exit(1);
}
