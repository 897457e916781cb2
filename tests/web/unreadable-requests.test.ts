// Requests that the parser refuses, over a real connection.
import { createServer, type Server } from "node:http";
import { connect, type AddressInfo } from "node:net";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { prepareServer } from "#src/app.ts";
import { testApp } from "../support/test-app.ts";

let server: Server;
beforeAll(async () => {
  server = createServer(testApp().app);
  prepareServer(server);
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
});
afterAll(() => new Promise((resolve) => server.close(resolve)));

/** Sends pieces one after the other, without waiting for an answer, and gives everything that came back. */
function sent(pieces: readonly string[]): Promise<string> {
  const { port } = server.address() as AddressInfo;
  return new Promise((resolve, reject) => {
    let answer = "";
    let isSent = false;
    let isAnswered = false;
    const socket = connect({ port, host: "127.0.0.1", allowHalfOpen: true }, async () => {
      for (const piece of pieces) {
        if (!socket.writable) break;
        await new Promise((next) => socket.write(piece, next));
      }
      isSent = true;
      if (isAnswered) socket.end();
    });
    socket.setEncoding("utf8").on("data", (text: string) => (answer += text));
    // As a browser does: it goes on sending, and closes its side when the other one is closed.
    socket.on("end", () => {
      isAnswered = true;
      if (isSent) socket.end();
    });
    socket.on("error", reject);
    socket.on("close", () => resolve(answer));
  });
}

const host = "Host: 127.0.0.1\r\n";
const longQuery = `/sun?name=${"x".repeat(20_000)}`;
const manyPieces = Array.from({ length: 60 }, () => "y".repeat(100_000));

describe("what is no request that can be read", () => {
  it.each([
    [
      "an address too long, with six megabytes still being sent",
      431,
      [`POST ${longQuery} HTTP/1.1\r\n${host}Content-Length: 6000000\r\n\r\n`, ...manyPieces],
    ],
    ["an address too long, alone", 431, [`GET ${longQuery} HTTP/1.1\r\n${host}\r\n`]],
    ["headers too long", 431, [`GET / HTTP/1.1\r\n${host}X-Long: ${"z".repeat(20_000)}\r\n\r\n`]],
    ["no HTTP", 400, ["good day\r\n\r\n"]],
    ["two lengths", 400, [`POST /api/lamps HTTP/1.1\r\n${host}Content-Length: 3\r\nContent-Length: 4\r\n\r\nabcd`]],
    [
      "a length and pieces",
      400,
      [`POST /api/lamps HTTP/1.1\r\n${host}Content-Length: 3\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n`],
    ],
  ])("such as %s is answered %i in plain words", async (_case, status, pieces) => {
    const answer = await sent(pieces);
    expect(answer).toMatch(new RegExp(`^HTTP/1\\.1 ${status} `));
    expect(answer).toContain("application/problem+json");
    const problem: { status: number; detail: string } = JSON.parse(answer.slice(answer.indexOf("{")));
    expect(problem.status).toBe(status);
    expect(problem.detail).toMatch(/: send /);
    expect(answer).not.toMatch(/HPE_|at \w+ \(|node_modules/);
  });

  it("leaves the server whole", async () => {
    const answer = await sent([`GET /api/health HTTP/1.1\r\n${host}Connection: close\r\n\r\n`]);
    expect(answer).toMatch(/^HTTP\/1\.1 200 /);
  });
});
