import request from "supertest";
import { describe, expect, it } from "vitest";
import { testApp } from "../support/test-app.ts";

describe("GET /api/health", () => {
  it("when asked, answers ok and a version", async () => {
    const answer = await request(testApp().app).get("/api/health");
    expect(answer.status).toBe(200);
    expect(answer.body).toMatchObject({ ok: true, version: expect.stringMatching(/^\d+\.\d+\.\d+$/) });
  });
});
