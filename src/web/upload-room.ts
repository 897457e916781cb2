// What is arriving at a server now, altogether and from each address: its uploads share these limits.
import type { Request } from "express";

/** A count for a server, and for each address that sends. */
export class Tally {
  private total = 0;
  private readonly byAddress = new Map<string, number>();

  /** @returns what is counted now, altogether and for this address */
  add(address: string, amount: number): { readonly total: number; readonly ofAddress: number } {
    this.total += amount;
    const ofAddress = (this.byAddress.get(address) ?? 0) + amount;
    if (ofAddress > 0) this.byAddress.set(address, ofAddress);
    else this.byAddress.delete(address);
    return { total: this.total, ofAddress };
  }

  /** What is counted, without a change. */
  now(address: string): { readonly total: number; readonly ofAddress: number } {
    return { total: this.total, ofAddress: this.byAddress.get(address) ?? 0 };
  }
}

export interface UploadRoom {
  /** Bytes held in memory. */
  readonly heldBytes: Tally;
  /** Pictures that go to the disk, or are worked on there. */
  readonly onDisk: Tally;
}

declare global {
  // eslint-disable-next-line @typescript-eslint/no-namespace -- express offers this namespace for what an app carries
  namespace Express {
    interface Locals {
      uploadRoom?: UploadRoom;
    }
  }
}

/** The room of one app, empty. */
export function uploadRoom(): UploadRoom {
  return { heldBytes: new Tally(), onDisk: new Tally() };
}

/** The room of the app that a request came to. */
export function uploadRoomOf({ app }: Request): UploadRoom {
  const room = app.locals.uploadRoom;
  if (room === undefined) throw new TypeError("The app has no room for uploads: src/app.ts gives it one.");
  return room;
}
