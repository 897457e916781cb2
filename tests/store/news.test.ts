import { describe, expect, it } from "vitest";
import { lampInputSchema } from "#shared/schema/materials.ts";
import { newsBoard, type News } from "#src/store/news.ts";
import { openStore } from "#src/store/store.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";

const sampleLamp = () => lampInputSchema.parse({ name: "Box" });

function heardOf(listen: (listener: { hear(news: News): void; end(): void }) => unknown): string[] {
  const heard: string[] = [];
  listen({ hear: ({ kind, id, what }) => heard.push(`${kind} ${id ?? "-"} ${what}`), end: () => heard.push("end") });
  return heard;
}

describe("the news of a store", () => {
  it("tell each record that was saved, changed and removed, with its kind and id", () => {
    const store = openStore(temporaryFolder());
    const heard = heardOf((listener) => store.news.listen(listener));
    const lamp = store.lamps.create(sampleLamp());
    store.lamps.replace(lamp.id, sampleLamp());
    store.lamps.remove(lamp.id);
    store.close();
    expect(heard).toEqual([`lamps ${lamp.id} saved`, `lamps ${lamp.id} saved`, `lamps ${lamp.id} removed`, "end"]);
  });

  it("come after the transaction, all together, and not at all when it failed", () => {
    const store = openStore(temporaryFolder());
    const heard = heardOf((listener) => store.news.listen(listener));
    store.transaction(() => {
      store.lamps.create(sampleLamp(), { id: "first" });
      store.lamps.create(sampleLamp(), { id: "second" });
      expect(heard).toEqual([]);
    });
    expect(heard).toEqual(["lamps first saved", "lamps second saved"]);
    expect(() =>
      store.transaction(() => {
        store.lamps.create(sampleLamp(), { id: "third" });
        throw new Error("the disk is full");
      }),
    ).toThrow("the disk is full");
    store.lamps.create(sampleLamp(), { id: "fourth" });
    expect(heard.slice(2)).toEqual(["lamps fourth saved"]);
    store.close();
  });
});

describe("a news board", () => {
  const tell = (board: ReturnType<typeof newsBoard>, times: number): void => {
    for (let number = 0; number < times; number++) board.tell({ kind: "tests", id: String(number), what: "saved" });
  };

  it("remembers what came since, but not for ever", () => {
    const board = newsBoard();
    expect(board.since(0)).toEqual([]);
    tell(board, 10);
    expect(board.since(7)?.map(({ number }) => number)).toEqual([8, 9, 10]);
    expect(board.since(10)).toEqual([]);
    tell(board, 1000);
    expect(board.since(10)).toBeUndefined();
    expect(board.since(1000)?.length).toBe(10);
    expect(board.since(5000)).toBeUndefined();
  });

  it("lets a listener go, and ends all when it ends", () => {
    const board = newsBoard();
    let stop = (): void => {};
    const first = heardOf((listener) => (stop = board.listen(listener)));
    const second = heardOf((listener) => board.listen(listener));
    tell(board, 1);
    stop();
    tell(board, 1);
    board.end();
    expect(first).toEqual(["tests 0 saved"]);
    expect(second).toEqual(["tests 0 saved", "tests 0 saved", "end"]);
    expect(heardOf((listener) => board.listen(listener))).toEqual(["end"]);
  });
});
