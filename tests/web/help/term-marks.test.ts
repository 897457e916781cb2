import request from "supertest";
import { describe, expect, it } from "vitest";
import { termNamed } from "#shared/words/terms.ts";
import { lookupStudio } from "../../support/studios/lookup-studio.ts";

describe("question marks beside terms", () => {
  it("know a term by its name, whatever its capitals, and nothing that is no term", () => {
    expect(termNamed("log h")?.key).toBe("log-h");
    expect(termNamed("95 % RANGE")?.key).toBe("range");
    expect(termNamed("Exposure")).toBeUndefined();
  });

  it("open their sentence without script, and lead to the page that says more", async () => {
    const { app, saveTest } = await lookupStudio();
    const { text } = await request(app)
      .get(`/tests/${await saveTest()}`)
      .expect(200);
    for (const name of ["D-max", "Log exposure range", "95 % range", "log H"]) {
      expect(text).toContain(`<summary aria-label="What is ${name}?">?</summary>`);
      expect(text).toContain(`href="/help/${termNamed(name)!.page}">More`);
    }
  });
});
