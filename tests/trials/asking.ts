// Asks a server over kept connections, at little cost of its own, so that what is timed is the server.
import { Agent, request } from "node:http";

export interface Answer {
  readonly status: number;
  readonly body: Buffer;
  /** Seconds after which to come again, where it says so. */
  readonly retryAfterSeconds: number | undefined;
}

export interface Question {
  readonly method?: string;
  readonly headers?: Record<string, string | number>;
  readonly body?: readonly Uint8Array[];
  readonly signal?: AbortSignal;
}

export type Ask = (path: string, question?: Question) => Promise<Answer>;

export function askerOf(address: string): Ask {
  const agent = new Agent({ keepAlive: true, maxSockets: 256 });
  return (path, { method = "GET", headers = {}, body = [], signal } = {}) =>
    new Promise((resolve, reject) => {
      const length = body.reduce((sum, piece) => sum + piece.byteLength, 0);
      const sent = request(
        address + path,
        {
          agent,
          method,
          headers: method === "GET" ? headers : { ...headers, "Content-Length": length },
          ...(signal === undefined ? {} : { signal }),
        },
        (answer) => {
          const pieces: Buffer[] = [];
          answer.on("data", (piece: Buffer) => pieces.push(piece));
          answer.on("error", reject);
          answer.on("end", () => {
            const wait = Number(answer.headers["retry-after"]);
            resolve({
              status: answer.statusCode ?? 0,
              body: Buffer.concat(pieces),
              retryAfterSeconds: Number.isFinite(wait) ? wait : undefined,
            });
          });
        },
      );
      sent.on("error", reject);
      for (const piece of body) sent.write(piece);
      sent.end();
    });
}

export function jsonQuestion(method: string, value: unknown): Question {
  return { method, headers: { "Content-Type": "application/json" }, body: [Buffer.from(JSON.stringify(value))] };
}

const boundary = "----trial-4f1d";

/** A form with one picture, and bytes after the picture's end that make each file a different one. */
export function pictureQuestion(picture: Uint8Array, mark: string, request: unknown): Question {
  const head =
    `--${boundary}\r\nContent-Disposition: form-data; name="request"\r\n\r\n${JSON.stringify(request)}\r\n` +
    `--${boundary}\r\nContent-Disposition: form-data; name="photo"; filename="photo.jpg"\r\n` +
    "Content-Type: image/jpeg\r\n\r\n";
  return {
    method: "POST",
    headers: { "Content-Type": `multipart/form-data; boundary=${boundary}` },
    body: [Buffer.from(head), picture, Buffer.from(`${mark}\r\n--${boundary}--\r\n`)],
  };
}
