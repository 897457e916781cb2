import request from "supertest";
import { describe, expect, it } from "vitest";
import { terms } from "#shared/words/terms.ts";
import { helpAddress, readHelpPages } from "#src/web/help/pages.ts";
import { testApp } from "../../support/test-app.ts";

describe("help", () => {
  const { app } = testApp();
  const pages = readHelpPages();

  it("lists every page with a title of its own", async () => {
    const { text } = await request(app).get("/help").expect(200);
    expect(pages.size).toBeGreaterThan(25);
    for (const { path, title } of pages.values()) {
      if (path.startsWith("decisions/")) continue;
      expect(text).toContain(`href="/help/${path}"`);
      expect(title).not.toBe(path);
    }
  });

  it("every page answers, and each link inside the help leads to a page", async () => {
    for (const { path, html } of pages.values()) {
      const { text } = await request(app).get(`/help/${path}`).expect(200);
      expect(text.match(/<h1/g)).toHaveLength(1);
      for (const [, target = ""] of html.matchAll(/href="\/help\/([^"#]+)/g))
        if (!target.startsWith("images/")) expect(pages.has(target), `${path} leads to ${target}`).toBe(true);
    }
  });

  it("each term has its sentence and a page that says more", async () => {
    const { text } = await request(app).get("/help/terms").expect(200);
    for (const { key, page } of terms) {
      expect(text).toContain(`id="${key}"`);
      expect(pages.has(page), page).toBe(true);
    }
  });

  it("an unknown page is a plain 404", async () => {
    await request(app).get("/help/how-to/nothing").set("Accept", "text/html").expect(404);
    await request(app).get("/help/..%2f..%2fpackage").set("Accept", "text/html").expect(404);
  });

  it("links between pages become addresses of this server", () => {
    expect(helpAddress("../reference/errors.md#codes", "how-to/back-up")).toBe("/help/reference/errors#codes");
    expect(helpAddress("calibrate-a-uv-box.md", "how-to/back-up")).toBe("/help/how-to/calibrate-a-uv-box");
    expect(helpAddress("../../src/main.ts", "how-to/back-up")).toBeNull();
    expect(helpAddress("https://example.org/a.md", "how-to/back-up")).toBe("https://example.org/a.md");
  });
});
