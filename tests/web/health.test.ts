import request from "supertest";
import { describe, expect, it } from "vitest";
import { createApp } from "#src/app.ts";
import { readSettings } from "#src/settings.ts";

describe("GET /api/health", () => {
  it("when asked, answers ok and a version", async () => {
    const answer = await request(createApp({ settings: readSettings({}) })).get("/api/health");
    expect(answer.status).toBe(200);
    expect(answer.body).toMatchObject({ ok: true, version: expect.stringMatching(/^\d+\.\d+\.\d+$/) });
  });
});
