// An app as it is reached from another machine: what it sees of a connection is its two addresses, so those are what is
// changed.
import type { Express } from "express";
import type { IncomingMessage, ServerResponse } from "node:http";

/**
 * A listener that hands requests to the app as if they came from `remoteAddress` (null: nobody knows any more) to
 * `localAddress`.
 */
export function fromNetwork(
  app: Express,
  remoteAddress: string | null = "192.168.1.77",
  localAddress = "192.168.1.20",
): (request: IncomingMessage, response: ServerResponse) => void {
  return (request, response) => {
    Object.defineProperty(request.socket, "remoteAddress", {
      configurable: true,
      get: () => remoteAddress ?? undefined,
    });
    Object.defineProperty(request.socket, "localAddress", { configurable: true, get: () => localAddress });
    app(request, response);
  };
}
