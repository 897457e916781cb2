import { once } from "node:events";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import request from "supertest";
import { describe, expect, it } from "vitest";
import { InputError } from "#shared/errors.ts";
import { problemFrom, statusByCode } from "#src/web/problem.ts";
import { maxUploadBytes } from "#src/web/upload.ts";
import { testApp } from "../support/test-app.ts";

const { app } = testApp();

function expectProblem(answer: request.Response, status: number): void {
  expect(answer.status).toBe(status);
  expect(answer.headers["content-type"]).toMatch(/^application\/problem\+json/);
  expect(answer.body).toMatchObject({
    type: "about:blank",
    title: expect.any(String),
    status,
    detail: expect.stringMatching(/\w.*[.?]$/),
    code: expect.any(String),
  });
}

describe("every trouble of the API", () => {
  it.each([
    ["an unknown address", () => request(app).get("/api/nothing"), 404],
    ["an unknown address, asked for as a page", () => request(app).get("/api/nothing").set("Accept", "text/html"), 404],
    ["an unknown lamp", () => request(app).get("/api/lamps/nobody"), 404],
    ["a method that the list does not take", () => request(app).put("/api/lamps").send({}), 405],
    ["a method that one record does not take", () => request(app).post("/api/lamps/some").send({}), 405],
    [
      "broken JSON",
      () => request(app).post("/api/lamps").set("Content-Type", "application/json").send('{"name": '),
      400,
    ],
    ["a JSON list", () => request(app).post("/api/lamps").send([1, 2]), 400],
    ["a JSON text", () => request(app).post("/api/lamps").set("Content-Type", "application/json").send('"name"'), 400],
    ["no body", () => request(app).post("/api/lamps"), 400],
    ["a form instead of JSON", () => request(app).post("/api/lamps").type("form").send({ name: "x" }), 415],
    [
      "an unknown encoding",
      () =>
        request(app)
          .post("/api/lamps")
          .set("Content-Type", "application/json")
          .set("Content-Encoding", "unheard-of")
          .send("{}"),
      415,
    ],
    [
      "a huge JSON",
      () =>
        request(app)
          .post("/api/lamps")
          .send({ name: "x", notes: "y".repeat(2_000_000) }),
      413,
    ],
    ["a broken % sign", () => request(app).get("/api/lamps/%E0%A4%A"), 400],
    [
      "a page of another site",
      () => request(app).post("/api/lamps").set("Origin", "https://elsewhere.example").send({ name: "x" }),
      403,
    ],
    [
      "another site by a browser's own word",
      () => request(app).post("/api/lamps").set("Sec-Fetch-Site", "cross-site").send({ name: "x" }),
      403,
    ],
    [
      "a multipart without its boundary",
      () => request(app).post("/api/readings").set("Content-Type", "multipart/form-data").send("x"),
      400,
    ],
    [
      "a multipart cut short",
      () =>
        request(app)
          .post("/api/readings")
          .set("Content-Type", "multipart/form-data; boundary=b")
          .send('--b\r\nContent-Disposition: form-data; name="photo"; filename="a"\r\n\r\nabc'),
      400,
    ],
    [
      "too many files",
      () =>
        Array.from({ length: 12 }).reduce(
          (asked: request.Test) => asked.attach("photo", Buffer.from("x"), "a.jpg"),
          request(app).post("/api/readings"),
        ),
      400,
    ],
  ])("when sent %s, has one shape", async (_case, ask, status) => {
    expectProblem(await ask(), status);
  });

  it("when the method is unknown, names those that are known", async () => {
    const answer = await request(app).delete("/api/lamps");
    expect(answer.headers["allow"]?.split(", ").sort()).toEqual(["GET", "HEAD", "POST"]);
  });

  it("when a picture is larger than allowed, answers 413, announced or not", async () => {
    const server = createServer(app).listen(0, "127.0.0.1");
    await once(server, "listening");
    const { port } = server.address() as AddressInfo;
    const address = `http://127.0.0.1:${port}/api/readings`;
    try {
      const form = new FormData();
      form.append("photo", new Blob([new Uint8Array(maxUploadBytes + 2_000_000)]), "big.tif");
      form.append("request", "{}");
      const announced = await fetch(address, { method: "POST", body: form });
      expect(announced.status).toBe(413);
      expect(await announced.json()).toMatchObject({ status: 413, code: "picture-too-large" });
      const part = new Uint8Array(8 * 1024 * 1024);
      async function* slowly(): AsyncGenerator<Uint8Array> {
        yield new TextEncoder().encode('--b\r\nContent-Disposition: form-data; name="photo"; filename="a"\r\n\r\n');
        for (let sent = 0; sent <= maxUploadBytes; sent += part.byteLength) yield part;
        yield new TextEncoder().encode("\r\n--b--\r\n");
      }
      const chunked = await fetch(address, {
        method: "POST",
        body: ReadableStream.from(slowly()),
        headers: { "Content-Type": "multipart/form-data; boundary=b" },
        duplex: "half",
      } as RequestInit);
      expect(chunked.status).toBe(413);
      await chunked.body?.cancel();
    } finally {
      server.closeAllConnections();
      server.close();
    }
  });

  it("when a mistake is ours, answers a bare 500 without its words", () => {
    const problem = problemFrom(new TypeError("secret thing at line 7"));
    expect(problem.status).toBe(500);
    expect(JSON.stringify(problem)).not.toContain("secret");
  });

  it.each(Object.entries(statusByCode))("has a status and a title for %s", (code, status) => {
    const problem = problemFrom(new InputError(code as keyof typeof statusByCode, "Plain words."));
    expect(problem).toMatchObject({ status, code });
    expect(status).toBeGreaterThanOrEqual(400);
    expect(problem.title).not.toBe("Error");
  });

  it("when the disk is full, says so and not that something is broken", () => {
    expect(problemFrom(Object.assign(new Error("database or disk is full"), { code: "SQLITE_FULL" }))).toMatchObject({
      status: 507,
      code: "disk-full",
    });
    expect(problemFrom(Object.assign(new Error("no space left on device"), { code: "ENOSPC" }))).toMatchObject({
      status: 507,
      code: "disk-full",
    });
  });
});
