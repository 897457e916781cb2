// What never becomes a request (a head that is too long, no HTTP at all, a body that breaks its own rules) gets a plain
// answer too, which arrives although the sender is still sending.
import { STATUS_CODES, type Server, type ServerResponse } from "node:http";
import type { Duplex } from "node:stream";

/** So long is read and dropped what is still being sent; a connection closed at once would take the answer with it. */
const lingerMs = 2000;

const troubles: Readonly<Record<string, readonly [status: number, detail: string]>> = {
  HPE_HEADER_OVERFLOW: [431, "The address and the headers of this request are too long together: send less in them."],
  HPE_CHUNK_EXTENSIONS_OVERFLOW: [413, "The request's pieces carry too much besides: send it plainly."],
  ERR_HTTP_REQUEST_TIMEOUT: [408, "The rest of this request did not arrive: send it again."],
};
const unreadable = [400, "This is no request that can be read: send it again."] as const;

/** The whole answer, as it goes over the line. */
function answerTo(code: string): string {
  const [status, detail] = troubles[code] ?? unreadable;
  const title = STATUS_CODES[status] ?? "Error";
  const body = JSON.stringify({ type: "about:blank", title, status, detail });
  return (
    `HTTP/1.1 ${status} ${title}\r\nContent-Type: application/problem+json\r\n` +
    `Content-Length: ${Buffer.byteLength(body)}\r\nConnection: close\r\n\r\n${body}`
  );
}

export function answerUnreadable(server: Server): void {
  const underWay = new WeakMap<Duplex, ServerResponse>();
  const told = new WeakSet<Duplex>();
  server.on("request", ({ socket }, response) => {
    underWay.set(socket, response);
    response.once("close", () => underWay.delete(socket));
  });
  server.on("clientError", (error: NodeJS.ErrnoException, socket) => {
    if (told.has(socket)) return;
    told.add(socket);
    const isHalfAnswered = underWay.get(socket)?.headersSent === true;
    if (!socket.writable || error.code === "ECONNRESET" || isHalfAnswered) {
      socket.destroy();
      return;
    }
    socket.end(answerTo(error.code ?? ""));
    setTimeout(() => socket.destroy(), lingerMs).unref();
  });
}
