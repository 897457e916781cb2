// Lets phones in or shuts them all out, and remembers which for the next start.
import { forWriting, type Tools } from "#src/studio/tools.ts";
import type { EntryCodes } from "./entry-codes.ts";
import type { NetworkDoor } from "./network-door.ts";

/** What the acts round devices work with, besides the store. */
export interface Access {
  readonly door: NetworkDoor;
  readonly codes: EntryCodes;
}

export async function switchDevices(
  { store }: Pick<Tools, "store">,
  { door, codes }: Access,
  isOn: boolean,
): Promise<void> {
  forWriting(store).devices.switchTo(isOn);
  if (isOn) return door.open();
  codes.withdraw();
  await door.close();
}
