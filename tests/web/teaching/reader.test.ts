// A phone that was let in as a reader, such as a student's: it joins the queue, is done, and pauses a step; it moves
// nobody else and names no studio.
import type { Test } from "supertest";
import { describe, expect, it } from "vitest";
import { printRequestSchema } from "#shared/schema/prints.ts";
import { beginPrint } from "#src/studio/keep-print.ts";
import { saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { host, networkStudio } from "../../support/network-studio.ts";

const studio = networkStudio();

describe("a reader's phone", () => {
  it("joins the queue and is done, but moves nobody", async () => {
    const cookie = await studio.letIn("reader");
    const as = (test: Test): Test => test.set({ Host: host, Cookie: cookie });
    const press = async (path: string, body: object = {}): Promise<number> =>
      (await as(studio.phone().post(path).type("form").send(body))).status;
    expect(await press("/queue", { who: "Ada" })).toBe(303);
    expect(await press("/queue", { who: "Ben" })).toBe(303);
    const [ada, ben] = studio.store.queue.list({ state: "waiting" });
    expect(await press(`/queue/${ben!.id}/up`)).toBe(403);
    expect(await press(`/queue/${ada!.id}/done`)).toBe(303);
    expect(studio.store.queue.list({ state: "waiting" })).toMatchObject([{ who: "Ben" }]);
    expect(await press("/records/studio", { name: "Mine" })).toBe(403);
    const { text } = await as(studio.phone().get("/queue"));
    expect(text).toContain(`/queue/${ben!.id}/done`);
    expect(text).not.toContain(`/queue/${ben!.id}/up`);
    expect(text).toContain("Join the queue");
  });

  it("pauses a step, lets it go on, and gives it a minute more", async () => {
    const materials = saveSampleMaterials(studio.store);
    const { id } = beginPrint(
      { store: studio.store },
      printRequestSchema.parse({ ...materials, name: "Fern", exposureSeconds: 600 }),
    );
    const cookie = await studio.letIn("reader");
    for (const act of ["start", "pause", "resume", "minute"])
      expect(
        (await studio.phone().post(`/prints/${id}/steps/0/${act}`).set({ Host: host, Cookie: cookie })).status,
      ).toBe(303);
    expect(studio.store.prints.get(id).steps[0]).toMatchObject({ seconds: 660, pausedAt: null });
  });
});
