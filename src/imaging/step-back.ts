// Threads that reckon for long let those that answer people go first.
import { readlinkSync } from "node:fs";
import { constants, setPriority } from "node:os";
import { basename } from "node:path";

const priorityOf = {
  /** Somebody waits for this alone. */
  somewhat: constants.priority.PRIORITY_BELOW_NORMAL,
  /** Takes what the others leave. */
  wholly: constants.priority.PRIORITY_LOW,
} as const;

/**
 * Lowers the priority of the calling thread, where the system can do that for one thread alone (Linux). Call it in a
 * worker: it is not meant for the thread that answers.
 */
export function letOthersGoFirst(howFar: keyof typeof priorityOf): void {
  try {
    const threadId = Number(basename(readlinkSync("/proc/thread-self")));
    if (Number.isInteger(threadId) && threadId !== process.pid) setPriority(threadId, priorityOf[howFar]);
  } catch {
    // Other systems share their cores among threads as they do: everything still works, pages wait longer.
  }
}
