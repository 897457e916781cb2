import { describe, expect, it } from "vitest";
import { batchesOf, batchInUse, batchKeepsUntil } from "#shared/coating/batches.ts";
import { coatingInputSchema } from "#shared/schema/materials.ts";
import { addBatch, changeCoating, useUpBatch } from "#src/studio/materials/keep-batch.ts";
import { testApp } from "../../support/test-app.ts";

function studio() {
  const { store } = testApp();
  const coating = store.coatings.create(coatingInputSchema.parse({ name: "Blue", mixedAt: "2026-04-01", lot: "6" }));
  return { store, coating };
}

describe("batches of a coating", () => {
  it("when none is listed, tells of the one that the coating's own record says", () => {
    const { coating } = studio();
    expect(batchesOf(coating)).toMatchObject([{ madeOn: "2026-04-01", lot: "6", isUsedUp: false }]);
  });

  it("when one is added, keeps the one before, and the newest is poured from", () => {
    const { store, coating } = studio();
    const batch = addBatch({ store }, coating.id, { madeOn: "2026-05-03", lot: "7", by: "Ana", keepsDays: 10 });
    const kept = store.coatings.get(coating.id);
    expect(batchesOf(kept).map(({ madeOn }) => madeOn)).toEqual(["2026-05-03", "2026-04-01"]);
    expect(batchInUse(kept)?.id).toBe(batch.id);
    expect(batchKeepsUntil(batch)).toBe("2026-05-13");
    expect(kept).toMatchObject({ mixedAt: "2026-05-03", lot: "7" });
  });

  it("when the newest is used up, the one before is poured from", () => {
    const { store, coating } = studio();
    const batch = addBatch({ store }, coating.id, { madeOn: "2026-05-03" });
    const changed = useUpBatch({ store }, { coatingId: coating.id, batchId: batch.id, isUsedUp: true });
    expect(batchInUse(changed)?.madeOn).toBe("2026-04-01");
  });

  it("when the coating's own record is changed, the newest batch follows", () => {
    const { store, coating } = studio();
    addBatch({ store }, coating.id, { madeOn: "2026-05-03", lot: "7" });
    const changed = changeCoating({ store }, coating.id, { lot: "7b" });
    expect(batchesOf(changed)[0]).toMatchObject({ madeOn: "2026-05-03", lot: "7b" });
    expect(batchesOf(changed)).toHaveLength(2);
  });

  it("refuses a batch without its day", () => {
    const { store, coating } = studio();
    expect(() => addBatch({ store }, coating.id, { madeOn: "soon" })).toThrow();
  });
});
