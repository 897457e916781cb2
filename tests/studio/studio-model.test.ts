import { describe, expect, it } from "vitest";
import { fitStudio } from "#shared/studio-model/studio-fit.ts";
import type { ModelThread } from "#src/studio/model-thread.ts";
import { keepModelReady, studioModel, studioModelReady } from "#src/studio/studio-model.ts";
import {
  curveWithShoulder,
  sampleTestRecord,
  savePicture,
  saveSampleMaterials,
} from "../support/studios/sample-records.ts";
import { testApp } from "../support/test-app.ts";
import type { Store } from "#src/store/store.ts";

/** A thread that fits here, a moment later, and counts how often it was asked. */
function countingThread(): ModelThread & { asked: number } {
  return {
    asked: 0,
    async fit({ observations, events }) {
      this.asked++;
      await new Promise((resolve) => setTimeout(resolve, 5));
      return fitStudio(observations, events);
    },
    close: () => Promise.resolve(),
  };
}

async function saveTests(store: Store, count: number, first = 0): Promise<void> {
  const materials =
    store.lamps.list()[0] === undefined
      ? saveSampleMaterials(store)
      : {
          lampId: store.lamps.list()[0]!.id,
          supportId: store.supports.list()[0]!.id,
          coatingId: store.coatings.list()[0]!.id,
          filmId: store.films.list()[0]!.id,
        };
  for (let i = first; i < first + count; i++) {
    const record = sampleTestRecord(materials, await savePicture(store, `picture ${i}`), {
      madeAt: new Date(Date.UTC(2026, 0, 1 + i)).toISOString(),
    });
    store.transaction(() =>
      store.tests.save({
        ...record,
        curve: curveWithShoulder(2.4 + 0.01 * (i % 3)),
      }),
    );
  }
}

describe("the studio's model beside the server's thread", () => {
  it("when tests were saved, is fitted once however many ask, and answers from that fit", async () => {
    const { store } = testApp();
    const modelThread = countingThread();
    await saveTests(store, 14);
    await Promise.all([1, 2, 3].map(() => studioModelReady({ store, modelThread })));
    expect(modelThread.asked).toBe(1);
    const { fit } = studioModel(store, "red");
    expect(fit.observations).toHaveLength(14);
    expect(studioModel(store, "red").fit).toBe(fit);
  });

  it("when something was written that moves no time, keeps the fit; when a test was, fits anew", async () => {
    const { store } = testApp();
    const modelThread = countingThread();
    await saveTests(store, 14);
    await studioModelReady({ store, modelThread });
    store.supports.create({ name: "Cotton", notes: "", kind: "fabric", archived: false });
    await studioModelReady({ store, modelThread });
    expect(modelThread.asked).toBe(1);
    await saveTests(store, 1, 20);
    await studioModelReady({ store, modelThread });
    expect(modelThread.asked).toBe(2);
    expect(studioModel(store, "red").fit.observations).toHaveLength(15);
  });

  it("when a test is saved while the model is fitted, waits for the fit that holds it", async () => {
    const { store } = testApp();
    const modelThread = countingThread();
    await saveTests(store, 14);
    const ready = studioModelReady({ store, modelThread });
    await saveTests(store, 1, 20);
    await ready;
    expect(studioModel(store, "red").fit.observations).toHaveLength(15);
  });

  it("when there are few tests, or no thread, fits in place", async () => {
    const { store } = testApp();
    const modelThread = countingThread();
    await saveTests(store, 3);
    await studioModelReady({ store, modelThread });
    expect(modelThread.asked).toBe(0);
    await saveTests(store, 11, 10);
    await studioModelReady({ store });
    expect(studioModel(store, "red").fit.observations).toHaveLength(14);
  });

  it("is kept ready: fitted once at the start, again after a test, and not after what moves no time", async () => {
    const { store } = testApp();
    const modelThread = countingThread();
    const failures: unknown[] = [];
    await saveTests(store, 14);
    keepModelReady({ store, modelThread }, (error) => failures.push(error));
    await expect.poll(() => modelThread.asked, { timeout: 20_000 }).toBe(1);
    await saveTests(store, 1, 20);
    await expect.poll(() => modelThread.asked, { timeout: 20_000 }).toBe(2);
    store.supports.create({ name: "Cotton", notes: "", kind: "fabric", archived: false });
    await new Promise((resolve) => setTimeout(resolve, 100));
    expect(modelThread.asked).toBe(2);
    await expect.poll(() => studioModel(store, "red").fit.observations.length).toBe(15);
    expect(failures).toEqual([]);
  });

  it("when a fit fails behind the scenes, says so to whoever keeps the log", async () => {
    const { store } = testApp();
    await saveTests(store, 14);
    const failures: unknown[] = [];
    const broken: ModelThread = {
      fit: () => Promise.reject(new Error("The thread is gone.")),
      close: () => Promise.resolve(),
    };
    keepModelReady({ store, modelThread: broken }, (error) => failures.push(error));
    await expect.poll(() => failures, { timeout: 20_000 }).toHaveLength(1);
  });
});
