import { expect, it } from "vitest";
import {
  decodedBytes,
  giveRoomBack,
  mostPictureBytes,
  pictureBudgetBytes,
  useMemoryBudget,
  waitForRoom,
} from "#src/imaging/decode/memory-budget.ts";

const megabyte = 1024 * 1024;

it("a picture of 120 million pixels of 16 bits and four channels counts with every copy that a decoder holds", () => {
  const size = { width: 10_900, height: 11_000, channels: 4, bytesPerChannel: 2 };
  // Raw size 959 MB: once as given, once without transparency, and once more inside the decoder when interlaced.
  expect(decodedBytes({ ...size, isInterlaced: false })).toBe(10_900 * 11_000 * 14);
  expect(decodedBytes({ ...size, isInterlaced: true })).toBe(10_900 * 11_000 * 22);
});

it("the budget is a quarter of the memory, within what a picture needs and what a process should take", () => {
  expect(pictureBudgetBytes(16 * 1024 * megabyte)).toBe(900 * megabyte);
  expect(pictureBudgetBytes(3.4 * 1024 * megabyte)).toBeCloseTo(0.85 * 1024 * megabyte, -3);
  expect(pictureBudgetBytes(512 * megabyte)).toBe(768 * megabyte);
});

it("one picture may take 120 million pixels of 8 bits, or 75 of 16 bits, and no more", () => {
  const bytes = (pixels: number, bytesPerChannel: number): number =>
    decodedBytes({ width: pixels, height: 1, channels: 3, bytesPerChannel, isInterlaced: false });
  expect(bytes(120e6, 1)).toBeLessThan(mostPictureBytes);
  expect(bytes(75e6, 2)).toBeLessThan(mostPictureBytes);
  expect(bytes(80e6, 2)).toBeGreaterThan(mostPictureBytes);
});

it("a large picture waits until others have given room back, one beyond the budget until it is alone", async () => {
  const counter = new Int32Array(new SharedArrayBuffer(8));
  useMemoryBudget({ counter, place: 1, budgetBytes: 100 * megabyte });
  counter[0] = 60;
  let isIn = false;
  const waiting = waitForRoom(50 * megabyte).then(() => (isIn = true));
  await new Promise((resolve) => setTimeout(resolve, 120));
  expect(isIn).toBe(false);
  giveRoomBack(counter, 0);
  await waiting;
  expect(counter[1]).toBe(50);
  giveRoomBack(counter, 1);
  await waitForRoom(500 * megabyte);
  expect(counter[1]).toBe(500);
});
