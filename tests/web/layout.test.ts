import request from "supertest";
import { describe, expect, it } from "vitest";
import { jsonForScript } from "#src/web/parts/render.ts";
import { localPath } from "#src/web/parts/local-path.ts";
import { testApp } from "../support/test-app.ts";

const { app } = testApp();

describe("the layout of every page", () => {
  it("has one first heading, a way past the navigation and the page's place in it", async () => {
    const { text, headers } = await request(app).get("/").set("Accept", "text/html").expect(200);
    expect(text.match(/<h1[\s>]/g)).toHaveLength(1);
    expect(text).toContain('href="#content"');
    expect(text).toContain('aria-current="page"');
    expect(headers["content-security-policy"]).toContain("default-src 'self'");
    expect(headers["content-security-policy"]).not.toContain("upgrade-insecure-requests");
  });

  it("keeps the colours that were chosen", async () => {
    const chosen = await request(app)
      .post("/preferences")
      .type("form")
      .send({ theme: "darkroom", back: "/tests" })
      .expect(303);
    expect(chosen.headers.location).toBe("/tests");
    const cookie = String(chosen.headers["set-cookie"]).split(";")[0] ?? "";
    const { text } = await request(app).get("/").set("Cookie", cookie);
    expect(text).toContain('data-theme="darkroom"');
  });

  it("never sends anyone to another server", () => {
    expect(localPath("/tests?x=1")).toBe("/tests?x=1");
    for (const elsewhere of [
      "//elsewhere.example",
      "/\\elsewhere.example",
      "https://elsewhere.example",
      undefined,
      "/a b",
    ])
      expect(localPath(elsewhere)).toBe("/");
  });
});

describe("an unknown address", () => {
  it("shows people a page in plain words", async () => {
    const { text } = await request(app)
      .get("/no-such-page")
      .set("Accept", "text/html")
      .expect(404)
      .expect("Content-Type", /html/);
    expect(text).toContain("There is no such page");
  });

  it("answers programs with a problem document", async () => {
    await request(app)
      .get("/no-such-page")
      .set("Accept", "application/json")
      .expect(404)
      .expect("Content-Type", /problem\+json/);
  });
});

describe("data for a page's script", () => {
  it("cannot end its own script element", () => {
    const text = jsonForScript({ name: "</script><b>&\u2028" });
    expect(text).not.toMatch(/[<>&\u2028]/);
    expect(JSON.parse(text)).toEqual({ name: "</script><b>&\u2028" });
  });
});
