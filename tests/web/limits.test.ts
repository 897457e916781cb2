// Requests that are too much, too odd or too slow: each is answered in plain words, and nothing of it stays.
import { once } from "node:events";
import express from "express";
import { createServer, type Server } from "node:http";
import { connect, type AddressInfo } from "node:net";
import request from "supertest";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { measureReading } from "#src/imaging/measure-reading.ts";
import { InputError } from "#shared/errors.ts";
import { endStalledUploads } from "#src/web/stalled-uploads.ts";
import { fakeImaging } from "../support/fake-imaging.ts";
import { sampleRequest, saveSampleMaterials } from "../support/studios/sample-records.ts";
import { testApp } from "../support/test-app.ts";

const { app, store } = testApp({
  imaging: fakeImaging({ "measure-reading": (job) => measureReading(job as never) }),
});

async function listening(handler: Parameters<typeof createServer>[1]): Promise<{ server: Server; port: number }> {
  const server = createServer(handler as never).listen(0, "127.0.0.1");
  await once(server, "listening");
  return { server, port: (server.address() as AddressInfo).port };
}

describe("a form", () => {
  it("with more fields than any page has is answered 413", async () => {
    const body = Array.from({ length: 1500 }, (_, index) => `field${index}=1`).join("&");
    const answer = await request(app).post("/studio/boxes").type("form").send(body);
    expect(answer.status).toBe(413);
  });

  it.each(["/api/readings", "/api/tests", "/api/evenness", "/pictures", "/tests/new", "/evenness"])(
    "whose fields have names in brackets is answered 4xx at %s",
    async (path) => {
      const answer = await request(app)
        .post(path)
        .set("Accept", "application/json")
        .field("request", "{}")
        .field("request[x]", "y")
        .field("request[__proto__][z]", "y");
      expect(answer.status).toBeGreaterThanOrEqual(400);
      expect(answer.status).toBeLessThan(500);
    },
  );

  it("with more text than two megabytes is cut off before it is held", async () => {
    const asked = request(app).post("/api/readings");
    for (let index = 0; index < 40; index++) asked.field(`field${index}`, "x".repeat(200_000));
    const answer = await asked.catch((error: Error & { response?: request.Response }) => error.response);
    expect(answer?.status).toBe(413);
  });
});

describe("a picture", () => {
  it.each(["png", "webp"] as const)(
    "of one flat colour (%s) with corners is read or refused, not an error of ours",
    async (format) => {
      const photo = await sharp({ create: { width: 600, height: 200, channels: 3, background: { r: 1, g: 2, b: 3 } } })
        .toFormat(format, format === "png" ? { palette: true } : {})
        .toBuffer();
      const corners = [
        [20, 20],
        [580, 20],
        [580, 180],
        [20, 180],
      ];
      const answer = await request(app)
        .post("/api/readings")
        .attach("photo", photo, `flat.${format}`)
        .field("request", JSON.stringify({ tablet: { kind: "transmission", steps: 21, increment: 0.15 }, corners }));
      expect([200, 422]).toContain(answer.status);
    },
  );

  it("of 1 by 70,000 pixels is refused at once", async () => {
    const photo = await sharp({ create: { width: 70_000, height: 1, channels: 3, background: "#888888" } })
      .png()
      .toBuffer();
    const answer = await request(app)
      .post("/api/readings")
      .attach("photo", photo, "line.png")
      .field("request", JSON.stringify({ tablet: { kind: "transmission", steps: 21, increment: 0.15 } }));
    expect(answer.status).toBe(413);
    expect(answer.body).toMatchObject({ code: "picture-too-large", field: "photo" });
  });
});

describe("a number next to nothing", () => {
  const materials = saveSampleMaterials(store);
  it.each([
    ["/api/lamps", { name: "Box", distanceMm: 1e-300 }],
    ["/api/lamps", { name: "Box", widthMm: 0.2 }],
    ["/api/prints", { ...materials, exposureSeconds: 1e-300 }],
  ])("is refused at %s", async (path, body) => {
    expect((await request(app).post(path).send(body)).status).toBe(400);
  });

  it("in a test is refused", async () => {
    for (const change of [{ exposureSeconds: 1e-300 }, { lampDistanceMm: 1e-300 }]) {
      const answer = await request(app)
        .post("/api/tests")
        .attach("photo", Buffer.from("x"), "x.jpg")
        .field("request", JSON.stringify({ ...sampleRequest(materials), ...change }));
      expect(answer.status).toBe(400);
    }
  });

  it("that an older version has kept closes no page", async () => {
    const { id } = store.lamps.create({ name: "Old", notes: "", kind: "tubes", archived: false, distanceMm: 1e-300 });
    expect((await request(app).get(`/studio/boxes/${id}`)).status).toBe(200);
    expect((await request(app).get(`/studio/boxes/${id}/card.pdf`)).status).toBe(200);
    expect((await request(app).get(`/exposures?lampId=${id}`)).status).toBe(200);
    expect((await request(app).get(`/api/lamps/${id}`)).body).not.toHaveProperty("distanceMm");
  });
});

describe("names and notes", () => {
  it("lose control characters, turned directions and halves of characters, and keep joiners and lines", async () => {
    const answer = await request(app).post("/api/lamps").send({
      name: " Box\u0000\u001b[31m \u202Efdp.\u2066\uD800 👩\u200D🎨\r\n ",
      notes: "one\r\ntwo\tthree\u0007\u200F",
    });
    expect(answer.status).toBe(201);
    expect(answer.body).toMatchObject({ name: "Box[31m fdp. 👩\u200D🎨", notes: "one\ntwo\tthree" });
  });

  it("that are nothing but hidden characters are no name", async () => {
    expect((await request(app).post("/api/lamps").send({ name: "\u202E\u0000" })).status).toBe(400);
  });
});

describe("when too much waits", () => {
  it("the answer says after how many seconds to ask again, to programs and on pages", async () => {
    const busy = testApp({
      imaging: fakeImaging({
        "measure-reading": () => {
          throw new InputError("busy", "Wait a little.");
        },
      }),
    });
    const answer = await request(busy.app)
      .post("/api/readings")
      .attach("photo", Buffer.from("x"), "x.jpg")
      .field("request", JSON.stringify({ tablet: { kind: "transmission", steps: 21, increment: 0.15 } }));
    expect(answer.status).toBe(503);
    expect(Number(answer.headers["retry-after"])).toBeGreaterThan(0);
  });
});

describe("an upload that stalls", () => {
  const head = (port: number): string =>
    `POST /x HTTP/1.1\r\nHost: 127.0.0.1:${port}\r\nContent-Type: text/plain\r\nContent-Length: 1000000\r\n\r\n`;

  it("is answered 408 and ended, and leaves nothing open", async () => {
    const small = express();
    small.use(endStalledUploads({ seconds: 0.3, leastBytes: 1000 }));
    small.post("/x", (incoming, response) => {
      incoming
        .on("data", () => undefined)
        .on("end", () => response.end("whole"))
        .on("error", () => undefined);
    });
    const { server, port } = await listening(small);
    const socket = connect(port, "127.0.0.1");
    socket.write(`${head(port)}abc`);
    let answer = "";
    socket.on("data", (chunk) => (answer += chunk.toString()));
    await once(socket, "close");
    expect(answer).toMatch(/^HTTP\/1\.1 408 /);
    expect(answer).toContain("upload-stalled");
    server.close();
  });

  it("while one that goes on slowly but surely arrives whole", async () => {
    const small = express();
    small.use(endStalledUploads({ seconds: 0.3, leastBytes: 1000 }));
    small.post("/x", (incoming, response) => {
      incoming.on("data", () => undefined).on("end", () => response.end("whole"));
    });
    const { server, port } = await listening(small);
    async function* slowly(): AsyncGenerator<Uint8Array> {
      for (let part = 0; part < 10; part++) {
        yield new Uint8Array(4000);
        await new Promise((resolve) => setTimeout(resolve, 100));
      }
    }
    const answer = await fetch(`http://127.0.0.1:${port}/x`, {
      method: "POST",
      body: ReadableStream.from(slowly()),
      duplex: "half",
    } as RequestInit);
    expect(await answer.text()).toBe("whole");
    server.closeAllConnections();
    server.close();
  });
});
