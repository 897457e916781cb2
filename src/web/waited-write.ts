import type { Response } from "express";

/**
 * Writes a piece of an answer and waits until the asker has room for the next one, or has gone away. Leaves no listener
 * behind.
 */
export function writeAndWait(response: Response, piece: Uint8Array | string): Promise<void> {
  if (response.write(piece) || response.destroyed) return Promise.resolve();
  return new Promise((resolve) => {
    const done = (): void => {
      response.off("drain", done);
      response.off("close", done);
      resolve();
    };
    response.on("drain", done);
    response.on("close", done);
  });
}
