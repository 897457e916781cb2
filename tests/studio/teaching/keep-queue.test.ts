import { describe, expect, it } from "vitest";
import { changeQueueEntry, joinQueue, leaveQueue, waitingFor } from "#src/studio/teaching/keep-queue.ts";
import { queueEntryInputSchema } from "#shared/schema/workshop/queue.ts";
import { saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

function studio() {
  const { store } = testApp();
  const { lampId } = saveSampleMaterials(store);
  const other = store.lamps.create({ name: "Other box", notes: "", kind: "tubes", archived: false }).id;
  const join = (who: string, of: string | null = null) =>
    joinQueue({ store }, queueEntryInputSchema.parse({ who, lampId: of }));
  const order = (of?: string): string[] => waitingFor(store, of).map(({ who }) => who);
  return { store, lampId, other, join, order };
}

describe("the queue", () => {
  it("is in the order of joining; who waits for any box stands in every box's", () => {
    const { lampId, other, join, order } = studio();
    join("Ada", lampId);
    join("Ben", other);
    join("Cem");
    expect(order()).toEqual(["Ada", "Ben", "Cem"]);
    expect(order(lampId)).toEqual(["Ada", "Cem"]);
    expect(order(other)).toEqual(["Ben", "Cem"]);
  });

  it("moves an entry past its neighbour of the same box, and no further than the ends", () => {
    const { store, lampId, other, join, order } = studio();
    join("Ada", lampId);
    join("Ben", other);
    const cem = join("Cem", lampId);
    changeQueueEntry({ store }, cem.id, { move: "up" });
    expect(order(lampId)).toEqual(["Cem", "Ada"]);
    changeQueueEntry({ store }, cem.id, { move: "up" });
    expect(order(lampId)).toEqual(["Cem", "Ada"]);
    changeQueueEntry({ store }, cem.id, { move: "down" });
    expect(order(lampId)).toEqual(["Ada", "Cem"]);
    expect(order()).toContain("Ben");
  });

  it("when someone is done, goes on to the next; a slip can be taken back", () => {
    const { store, join, order } = studio();
    const ada = join("Ada");
    join("Ben");
    changeQueueEntry({ store }, ada.id, { state: "done" });
    expect(order()).toEqual(["Ben"]);
    expect(store.queue.list({ state: "done" })).toMatchObject([{ who: "Ada" }]);
    changeQueueEntry({ store }, ada.id, { state: "waiting", what: "apron" });
    expect(order()).toEqual(["Ada", "Ben"]);
    leaveQueue({ store }, ada.id);
    expect(order()).toEqual(["Ben"]);
  });

  it("tells other devices, and refuses a box that is not there and an entry that is gone", () => {
    const { store, join } = studio();
    const { id } = join("Ada");
    expect(store.news.since(0)).toContainEqual(expect.objectContaining({ kind: "queue", id, what: "saved" }));
    expect(() => join("Ben", "nope")).toThrow(/no such|not there|lamp/);
    leaveQueue({ store }, id);
    expect(() => leaveQueue({ store }, id)).toThrow(expect.objectContaining({ code: "not-found" }));
    expect(() => changeQueueEntry({ store }, id, { move: "up" })).toThrow(
      expect.objectContaining({ code: "not-found" }),
    );
  });
});
