// One budget of memory for the decoded pictures of all workers: a worker waits with a large picture until the others
// have room for it.
import { totalmem } from "node:os";

/** Decoded pictures may take this share of the machine's memory together ... */
const budgetShare = 1 / 4;
/**
 * Most bytes for one decoded picture, and for all of them together, so that the whole process stays near a gigabyte:
 * 120 million pixels of 8 bits, 75 of 16 bits.
 */
export const mostPictureBytes = 900 * 1024 * 1024;
/** ... and never less than this, so that one ordinary picture always fits [bytes]. */
const leastBudgetBytes = 768 * 1024 * 1024;
const waitMs = 20;
const bytesPerUnit = 1024 * 1024;

/** Memory for a picture of a size, roughly: the decoder's own copy and the one handed on [bytes]. */
export function decodedBytes({
  width,
  height,
  channels,
  bytesPerChannel,
  isInterlaced,
}: {
  width: number;
  height: number;
  channels: number;
  bytesPerChannel: number;
  isInterlaced: boolean;
}): number {
  const pixels = width * height;
  // An interlaced file cannot be read line by line: the decoder holds all of it, beside the copy that it gives.
  const decoder = isInterlaced ? pixels * channels * bytesPerChannel : 0;
  return decoder + pixels * channels * bytesPerChannel + pixels * Math.min(3, channels) * bytesPerChannel;
}

/** Bytes that decoded pictures may take together on this machine. */
export function pictureBudgetBytes(
  memoryBytes = Math.min(totalmem(), process.constrainedMemory() || Infinity),
): number {
  return Math.min(mostPictureBytes, Math.max(leastBudgetBytes, memoryBytes * budgetShare));
}

/** The shared counter, in megabytes; made by the pool, handed to each worker. */
export type BudgetCounter = Int32Array<SharedArrayBuffer>;

export interface MemoryBudget {
  readonly counter: BudgetCounter;
  /** This worker's place in the counter. */
  readonly place: number;
  readonly budgetBytes: number;
}

let budget: MemoryBudget | undefined;

/** Called once by a worker. Without it, as in tests in line, there is no waiting. */
export function useMemoryBudget(given: MemoryBudget): void {
  budget = given;
}

/**
 * Waits until the other workers leave room for a decoded picture; the room is this worker's until its job ends. A
 * picture larger than the whole budget waits until it is alone.
 */
export async function waitForRoom(bytes: number): Promise<void> {
  if (budget === undefined) return;
  const { counter, place, budgetBytes } = budget;
  const units = Math.ceil(bytes / bytesPerUnit);
  for (;;) {
    Atomics.add(counter, place, units);
    const others = heldBesides(counter, place);
    const own = Atomics.load(counter, place);
    if (others === 0 || (others + own) * bytesPerUnit <= budgetBytes) return;
    Atomics.sub(counter, place, units);
    await new Promise((resolve) => setTimeout(resolve, waitMs * (1 + Math.random())));
  }
}

function heldBesides(counter: BudgetCounter, place: number): number {
  let sum = 0;
  for (let other = 0; other < counter.length; other++) if (other !== place) sum += Atomics.load(counter, other);
  return sum;
}

/** Gives a place's room back: at the end of its job, or when its worker is gone. */
export function giveRoomBack(counter: BudgetCounter, place: number): void {
  Atomics.store(counter, place, 0);
}
